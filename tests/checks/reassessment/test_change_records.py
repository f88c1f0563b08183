"""What a change affects, and taking it back. Reach follows the part touched (house rule)."""

from __future__ import annotations

import pytest

from checks.access.roles import MEMBER, NotAllowed, Person
from checks.assessment.links import Links
from checks.plantfile import plant_file
from checks.reassessment import change_records, confirmations, failure_records, kinds_of_change
from checks.reassessment.reopening import Change, concerned
from checks.state.revision_status import SIGNED, VOID
from checks.text.faults import Refused
from demo.load import PLANT
from tests.checks.reassessment.given import failure
from tests.checks.team import ANSWERS, DAY, LEADS, LOOKS_ON, Team

CREW = Change("test-crew", frozenset({"group:pt-301"}))
SEEN, PLANT_WIDE = ("SEP1", "group:pt-301"), ("PRO1", "plant")
BATCH = Change("device-same-batch", frozenset({"group:pt-301"}), frozenset({"T1"}))


def record(team: Team, change: Change, person: Person = ANSWERS) -> int:
    """Record a change; returns the number of its event."""
    words = {"reference": "MOC-1", "on": DAY.isoformat(), "what": "another crew"}
    return change_records.record_change(team.live, person, change, **words).seq


@pytest.fixture
def two_signed(team: Team) -> Team:
    """S30 and S50 are signed in both halves; they share the answers of the plant only."""
    for question in {question for question, of in team.now().stored if of == "zone:sis"}:
        team.say(question, "zone:package")
    team.signed()
    team.signed("S50")
    return team


def test_a_change_to_a_group_concerns_the_systems_that_use_it_and_no_other() -> None:
    """In the demo an air supply on one valve invalidated the sign-offs of all five systems before."""
    plant = plant_file.read(PLANT)
    links = Links(plant)
    for group in plant.groups:
        for kind in kinds_of_change.kinds():
            change = Change(kind, frozenset({f"group:{group}"}))
            assert set(concerned(change, plant, links)) == set(links.systems_of[group])


def test_a_device_concerns_the_systems_of_each_group_that_has_it() -> None:
    plant = plant_file.read(PLANT)
    links = Links(plant)
    for device in plant.devices:
        having = [key for key, group in plant.groups.items() if any(device in channel for channel in group.channels)]
        using = {system for key in having for system in links.systems_of[key]}
        assert set(concerned(Change("process-conditions", frozenset({f"device:{device}"})), plant, links)) == using


def test_an_answer_of_the_plant_goes_to_confirm_and_leaves_the_other_systems_signed(two_signed: Team) -> None:
    team = two_signed
    effects = {effect.system: effect for effect in change_records.affected(team.now(), CREW)}
    assert (effects["S30"].concerned, effects["S30"].signed) == (True, ("safety", "security"))
    assert (effects["S50"].concerned, effects["S50"].signed, effects["S50"].shared) == (False, (), 1)
    record(team, CREW)
    assert PLANT_WIDE in team.now().records.to_confirm
    assert (team.state()[0], team.state("S50")[0]) == (VOID, SIGNED)
    team.say(*PLANT_WIDE, "not-met")
    assert team.state("S50")[0] == VOID


def test_a_change_is_refused_where_it_invalidates_more_than_was_shown(two_signed: Team) -> None:
    state = two_signed.now()
    change_records.require_seen(state, CREW, ["S30"])
    with pytest.raises(Refused, match="it invalidates those of S30 now; look at the list again"):
        change_records.require_seen(state, CREW, [])


@pytest.mark.parametrize("change", [CREW, Change("proof-test", frozenset({"group:pt-301"}))])
def test_a_change_taken_back_leaves_everything_as_before_and_two_entries_in_the_journal(
    two_signed: Team, change: Change
) -> None:
    team = two_signed
    before, count = team.now().records, team.count()
    entry = record(team, change)
    assert team.state()[0] == VOID
    change_records.take_back(team.live, ANSWERS, entry)
    after = team.now().records
    for field in ("to_confirm", "data_to_check", "changes", "revisions"):
        assert getattr(after, field) == getattr(before, field), field
    assert team.state()[0] == SIGNED
    assert team.count() == count + 2


def test_what_invalidated_a_revision_as_well_still_does_after_the_first_is_taken_back(two_signed: Team) -> None:
    team = two_signed
    first = record(team, CREW)
    record(team, BATCH, LEADS)
    change_records.take_back(team.live, ANSWERS, first)
    status, why = team.state()
    assert status == VOID
    assert "by FA-1" in why
    assert SEEN in team.now().records.to_confirm
    assert PLANT_WIDE not in team.now().records.to_confirm


def test_taking_back_an_earlier_change_and_then_a_later_one_leaves_nothing_to_confirm(team: Team) -> None:
    first, second = record(team, BATCH), record(team, BATCH)
    for entry in (first, second):
        assert SEEN in team.now().records.to_confirm
        change_records.take_back(team.live, ANSWERS, entry)
    assert SEEN not in team.now().records.to_confirm


def test_only_who_recorded_a_change_takes_it_back_and_only_until_somebody_builds_on_it(team: Team) -> None:
    entry = record(team, BATCH)
    with pytest.raises(NotAllowed):
        change_records.take_back(team.live, LOOKS_ON, entry)
    with pytest.raises(Refused, match="recorded by TM-1; record the change that puts it right"):
        change_records.take_back(team.live, Person("TM-2", frozenset({MEMBER})), entry)
    confirmations.confirm_answers(team.live, ANSWERS, [SEEN])
    with pytest.raises(Refused, match="SEP1 of group:pt-301 was confirmed or answered since"):
        change_records.take_back(team.live, ANSWERS, entry)


def test_a_change_is_not_taken_back_after_a_later_revision(team: Team) -> None:
    entry = record(team, Change("target-changed", frozenset({"system:S30"})))
    team.put_up()
    with pytest.raises(Refused, match="S30 was submitted or signed since"):
        change_records.take_back(team.live, ANSWERS, entry)


def test_what_follows_from_a_failure_is_not_taken_back_alone(team: Team) -> None:
    events = failure_records.record_failure(team.live, ANSWERS, failure(cause_topics=frozenset({"T1"})))
    changes = [event for event in events if event.kind == "change"]
    assert changes
    for event in changes:
        with pytest.raises(Refused, match="it follows from a failure"):
            change_records.take_back(team.live, ANSWERS, event.seq)
