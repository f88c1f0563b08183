"""A team member acts for the systems of the own team and sees what was answered there; of others the results.

Who sees what of which system follows common practice, no source: the own team everything, other teams the results.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from checks.access.roles import FACILITATOR, MAY, MEMBER, VIEWER, NotAllowed, Person
from checks.actions import register
from checks.actions.action_updates import Proposed, Update
from checks.actions.actions import Asked
from checks.assessment.assessment import Assessment
from checks.events.plant.action import Action
from checks.journal.event import Event
from checks.reassessment import due_list, reassessments
from checks.reassessment.failures import FailureRecord
from checks.reassessment.reopening import Change
from checks.recording import answering, plant_import, session, teams
from checks.revision import basis
from checks.signoff import revisions
from checks.state.live import State
from checks.visibility import redaction
from tests.checks.team import DISSENT, EVIDENCE, LEADS, Team, three_systems

S50 = Person("TM-5", frozenset({MEMBER}), systems=frozenset({"S50"}))
S40 = replace(S50, name="TM-4", systems=frozenset({"S40"}))
OURS, THEIRS = ("SEP1", "group:lt-501"), ("SEP1", "group:pt-301")
OWN = {
    "S30": {"plant", "system:S30", "group:pt-301", "group:ls-sis", "group:esv-301", "zone:field", "zone:sis"},
    "S40": {"plant", "system:S40", "group:tt-401", "group:ls-sis", "group:pos-210", "group:con-210", "zone:field", "zone:sis"},
    "S50": {"plant", "system:S50", "group:lt-501", "zone:package"},
}  # fmt: skip
"""Read off the plant by hand; S30 and S40 share the logic solver and both zones."""


def _failure(team: Team, person: Person, group: str) -> None:
    record = FailureRecord(
        on=date(2025, 3, 4), reference="FR-1", groups=(group,), channels=("channel 1",), found_by="proof-test",
        cause="worn seal", cause_explained=True, software_involved=False,
    )  # fmt: skip
    reassessments.failure(team.live, person, record)


def _change(team: Team, person: Person, group: str) -> None:
    told = Change("device-same-batch", frozenset({f"group:{group}"}), frozenset({"T1"}))
    reassessments.change(team.live, person, told, reference="MOC-1", on="2025-03-04", what="one batch for all")


def _action(team: Team, person: Person, group: str) -> None:
    asked = [{"question": "SEP1", "of": f"group:{group}"}]
    fields = {"what": "split the taps", "owner": "engineer", "due": date(2199, 1, 1), "questions": asked}
    register.raise_one(team.live, person, fields)


def _confirm(team: Team, person: Person, group: str) -> None:
    _change(team, LEADS, group)
    reassessments.confirm(team.live, person, [("SEP1", f"group:{group}")])


def _settle(team: Team, person: Person, group: str) -> None:
    session.dissent(team.live, LEADS, ("SEP1", f"group:{group}"), DISSENT)
    session.settle(team.live, person, ("SEP1", f"group:{group}"), who="TM-2", shown_by="photo 7")


def _take_back(team: Team, person: Person, group: str) -> None:
    held = session.show(team.live, LEADS, ("SEP1", f"group:{group}"), EVIDENCE)
    session.take_back(team.live, person, ("SEP1", f"group:{group}"), number=held.seq, reason="the hook-up changed")


def _close(team: Team, person: Person, group: str) -> None:
    _action(team, LEADS, group)
    key = next(reversed(team.now().records.actions))
    register.close(team.live, person, key, evidence="drawing 9", verifier="somebody else")


def _answer(team: Team, person: Person, group: str) -> None:
    asked = ("SEP1", f"group:{group}")
    fields = {"question": asked[0], "of": asked[1], "value": "unknown", "note": "who knows"}
    answering.record(team.live, person, fields, seen=team.now().stored[asked].id)


Deed = Callable[[Team, Person, str], Any]
DEEDS: dict[str, tuple[str, Deed]] = {
    "answer": ("answer a question", _answer),
    "evidence": ("record evidence", lambda t, who, group: session.show(t.live, who, ("SEP1", f"group:{group}"), EVIDENCE)),
    "evidence-withdrawn": ("record evidence", _take_back),
    "dissent": ("record a dissent", lambda t, who, group: session.dissent(t.live, who, ("SEP1", f"group:{group}"), DISSENT)),
    "dissent-closed": ("record a dissent", _settle),
    "private": ("answer privately", lambda t, who, group: session.answer_privately(t.live, who, ("SEP1", f"group:{group}"), value="met")),
    "change": ("record a change", _change),
    "failure": ("record a change", _failure),
    "confirmed": ("confirm an answer", _confirm),
    "action": (Action.PERMISSION, _action),
    "action closed": (Action.PERMISSION, _close),
}  # fmt: skip
PLANT_WIDE = {"import plant data"}


@pytest.fixture
def both(team: Team) -> Team:
    """The team, with an answer of each of two systems."""
    team.say(*OURS, "partly", evidence="drawing D-501")
    return team


def test_every_deed_of_a_team_member_is_tried_here() -> None:
    done = {deed for deed, roles in MAY.items() if MEMBER in roles and not deed.startswith("see ")}
    assert {deed for deed, _ in DEEDS.values()} == done - PLANT_WIDE


@pytest.mark.parametrize("system", OWN)
def test_what_belongs_to_a_system_is_what_was_read_off_the_plant_by_hand(made: Team, system: str) -> None:
    now = made.now()
    assert teams.own(now.plant, now.assessment.links, {system}) == OWN[system]


def test_what_belongs_to_several_systems_is_all_of_it_and_a_system_that_is_not_there_has_nothing(made: Team) -> None:
    now = made.now()
    assert teams.own(now.plant, now.assessment.links, {"S30", "S50", "S99"}) == OWN["S30"] | OWN["S50"]
    assert teams.own(now.plant, now.assessment.links, {"S99"}) == frozenset()


def _by(team: Team, person: Person) -> list[Event]:
    """Everything that somebody did."""
    return [one for one in team.store.events(1) if one.by == person.name]


@pytest.mark.parametrize(("deed", "do"), DEEDS.values(), ids=list(DEEDS))
def test_a_member_acts_for_the_own_system_and_for_no_other(both: Team, deed: str, do: Deed) -> None:
    do(both, S50, "lt-501")
    done = _by(both, S50)
    assert done
    with pytest.raises(NotAllowed) as told:
        do(both, S50, "pt-301")
    assert str(told.value) == f"to {deed} for group:pt-301 needs a member of another team; TM-5: team of S50"
    assert _by(both, S50) == done


@pytest.mark.parametrize(("deed", "do"), DEEDS.values(), ids=list(DEEDS))
def test_another_role_covers_every_system_where_it_covers_the_deed(both: Team, deed: str, do: Deed) -> None:
    person = replace(S50, roles=frozenset({MEMBER, FACILITATOR}))
    if FACILITATOR in MAY[deed]:
        do(both, person, "pt-301")
        assert both.store.events(1)[-1].by == person.name
    else:
        with pytest.raises(NotAllowed, match="needs a member of another team"):
            do(both, person, "pt-301")


def test_what_two_systems_share_belongs_to_the_teams_of_both(both: Team) -> None:
    both.say("SEP1", "group:ls-sis")
    _answer(both, S40, "ls-sis")
    with pytest.raises(NotAllowed):
        _answer(both, S50, "ls-sis")


def test_what_is_asked_of_the_plant_as_a_whole_is_not_for_the_team_of_one_system(both: Team) -> None:
    """A change of the plant makes answers of every system doubtful and voids what stands of each."""
    count = both.count()
    change = Change("device-same-batch", frozenset({"plant"}), frozenset({"T1"}))
    with pytest.raises(NotAllowed, match="to record a change for plant needs a member of another team"):
        reassessments.change(both.live, S50, change, reference="MOC-1", on="2025-03-04", what="one batch for all")
    with pytest.raises(NotAllowed, match="to answer a question for plant"):
        answering.record(both.live, S50, {"question": "PRO1", "of": "plant", "value": "unknown"}, seen=0)
    with pytest.raises(NotAllowed, match="to raise or change an action for plant"):
        register.raise_one(both.live, S50, {"what": "ask", "owner": "engineer", "due": date(2199, 1, 1)})
    assert both.count() == count
    seen = _seen(both, S50)
    assert seen.shows("plant")
    assert not seen.takes("plant")
    assert _seen(both, LEADS).takes("plant")


def test_an_action_cannot_be_turned_from_another_system_to_the_own_one(both: Team) -> None:
    _action(both, LEADS, "pt-301")
    (theirs,) = register.held(both.now()).values()
    ours = theirs.model_copy(update={"questions": (Asked(question=OURS[0], of=OURS[1]),)})
    with pytest.raises(NotAllowed, match="for group:pt-301"):
        register.take_over(both.live, S50, Proposed((Update(2, theirs, ours),), (), 0))
    assert register.held(both.now()) == {theirs.id: theirs}


def test_a_plant_is_imported_by_who_answers_for_all_of_it(both: Team) -> None:
    count = both.count()
    with pytest.raises(NotAllowed, match="to import plant data for the whole plant needs a member of another team"):
        plant_import.import_plant(both.store, S50, three_systems())
    assert both.count() == count
    plant_import.import_plant(both.store, replace(S50, systems=None), three_systems())


def _seen(team: Team, person: Person) -> State:
    return redaction.seen(team.now(), person)


def test_a_member_sees_the_answers_of_the_own_system_and_of_the_others_the_results(story: Team) -> None:
    now, seen = story.now(), _seen(story, S50)
    assert seen.stored == {asked: one for asked, one in now.stored.items() if asked[1] in OWN["S50"]}
    assert OURS in seen.stored
    assert THEIRS not in seen.stored
    for key in now.plant.groups:
        full, held = now.assessment.group(key), seen.assessment.group(key)
        assert replace(full, held=held.held) == held
        assert held.held == (full.held if f"group:{key}" in OWN["S50"] else {})
    for key in now.plant.functions:
        full_function, held_function = now.assessment.function(key), seen.assessment.function(key)
        assert held_function.cases == full_function.cases
        assert all(one.held == {} for one in held_function.groups if f"group:{one.id}" not in OWN["S50"])
    for key in now.plant.zones:
        full_zone, held_zone = now.assessment.zone(key), seen.assessment.zone(key)
        ours = f"zone:{key}" in OWN["S50"]
        assert (held_zone.held, held_zone.gaps) == ((full_zone.held, full_zone.gaps) if ours else ({}, ()))


def test_of_another_systems_answer_for_a_shared_group_the_value_is_left(story: Team) -> None:
    """The logic solver belongs to S30 and S40, and both speak for it. Nothing is computed otherwise by it."""
    now, seen = story.now(), _seen(story, S40)
    full, held = now.assessment.group("ls-sis"), seen.assessment.group("ls-sis")
    theirs = full.held["ASM1"]
    assert (theirs.of, theirs.evidence, theirs.by) == ("system:S30", "walk-down 12", "TM-1")
    ours = held.held["ASM1"]
    assert (ours.of, ours.value) == ("system:S30", theirs.value)
    assert (ours.evidence, ours.note, ours.by, ours.on) == ("kept by another team", "", "", "")
    assert replace(full, held=held.held) == held
    afresh = Assessment(seen.plant, seen.assessment.answers, links=now.assessment.links)
    assert [replace(one, groups=()) for one in afresh.functions()] == [
        replace(one, groups=()) for one in now.assessment.functions()
    ]
    told = [one for one in seen.assessment.answers if one.of not in OWN["S40"]]
    assert told
    assert {one.evidence for one in told} <= {"", "kept by another team"}


def test_a_revision_is_compared_without_the_evidence_of_another_system(story: Team) -> None:
    facts = revisions.fixed_body(story.live, story.latest("S30"))["facts"]
    whole = basis.assessment_of(facts)
    assert "walk-down 12" in {one.evidence for one in whole.answers if one.of == "system:S30"}
    seen = redaction.fixed(whole, frozenset(OWN["S40"]))
    assert {one.evidence for one in seen.answers if one.of == "system:S30"} == {"kept by another team"}
    assert seen.function("SIF-301").cases == whole.function("SIF-301").cases
    assert redaction.fixed(whole, None) is whole


def test_a_member_chooses_among_the_own_systems_groups_and_zones(story: Team) -> None:
    seen = _seen(story, S50)
    assert (list(seen.systems), list(seen.groups), list(seen.zones)) == (["S50"], ["lt-501"], ["package"])
    assert [one.system for one in due_list.standings(seen)] == ["S50"]
    every = _seen(story, LEADS)
    assert (every.systems, every.groups, every.zones) == (every.plant.systems, every.plant.groups, every.plant.zones)


def test_records_of_another_system_stay_with_its_team(story: Team, tmp_path: Any) -> None:
    team = story.copy(tmp_path / "answers.sqlite3")
    _action(team, LEADS, "pt-301")
    _action(team, LEADS, "lt-501")
    _failure(team, LEADS, "pt-301")
    _change(team, LEADS, "pt-301")
    session.answer_privately(team.live, replace(S50, systems=None), THEIRS, value="met")
    full, ours = team.now().records, _seen(team, S50).records
    held = (full.evidence, full.dissents, full.attended, full.accepted, full.changes, full.failures, full.to_confirm)
    assert all(held), "each kind of record is there to be hidden"
    assert (full.private, list(ours.revisions), len(ours.actions)) == (full.private, ["S50"], 1)
    assert not any((
        ours.evidence, ours.dissents, ours.private, ours.attended, ours.accepted, ours.changes, ours.failures, ours.to_confirm,
    ))  # fmt: skip
    theirs = _seen(team, replace(S50, systems=frozenset({"S30"}))).records
    assert {
        name
        for name in vars(full)
        if name not in {"revisions", "actions", "dissents"} and getattr(full, name) != getattr(theirs, name)
    } == set()


def test_an_effect_on_what_is_shared_is_computed_with_everybodys_answers(story: Team) -> None:
    """What an answer for a shared group does is the same number for whoever looks."""
    story_now, seen = story.now(), _seen(story, S40)
    for asked in seen.stored:
        for key in story_now.plant.functions:
            assert seen.before(*asked).function(key).cases == story_now.before(*asked).function(key).cases


def test_a_plant_file_holds_the_answers_that_its_reader_may_see(story: Team) -> None:
    assert {one.of for one in _seen(story, S50).file().answers} == {"plant", "group:lt-501"}
    assert _seen(story, replace(S50, systems=frozenset({"S99"}))).file().answers == []
    assert _seen(story, Person("V", frozenset({VIEWER}))).file().answers == []
