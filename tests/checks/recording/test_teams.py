"""Team members record for their own systems and see the answers there; of other systems they see the results.

Who sees what of which system follows common practice, no source: the own team everything, other teams the results.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from checks.access.roles import FACILITATOR, MAY, MEMBER, VIEWER, NotAllowed, Person
from checks.actions import action_list, action_rules, recorded_actions
from checks.actions.action_rules import Asked
from checks.actions.action_updates import Proposed, Update
from checks.assessment.assessment import Assessment
from checks.events.plant.action import Action
from checks.events.signoff import review_comment
from checks.journal.event import Event
from checks.reassessment import change_records, confirmations, due_list, failure_records
from checks.reassessment.failures import FailureRecord
from checks.reassessment.reopening import Change
from checks.recording import answer_records, answering, plant_import, teams
from checks.revision import basis
from checks.signoff import review_comments, revisions
from checks.state.live import State
from checks.text.faults import Refused
from checks.visibility import redaction
from tests.checks.team import DISSENT, EVIDENCE, LEADS, REVIEWS, Team, three_systems

S50 = Person("TM-5", frozenset({MEMBER}), systems=frozenset({"S50"}))
S40 = replace(S50, name="TM-4", systems=frozenset({"S40"}))
OURS, THEIRS = ("SEP1", "group:lt-501"), ("SEP1", "group:pt-301")
OWN = {
    "S30": {"plant", "system:S30", "group:pt-301", "group:ls-sis", "group:esv-301", "zone:field", "zone:sis"},
    "S40": {"plant", "system:S40", "group:tt-401", "group:ls-sis", "group:pos-210", "group:con-210", "zone:field", "zone:sis"},
    "S50": {"plant", "system:S50", "group:lt-501", "zone:package"},
}  # fmt: skip
"""Read from the plant by hand; S30 and S40 share the logic solver and both zones."""


def _failure(team: Team, person: Person, group: str) -> None:
    record = FailureRecord(
        on=date(2025, 3, 4), reference="FR-1", groups=(group,), channels=("channel 1",), found_by="proof-test",
        cause="worn seal", cause_explained=True, software_involved=False,
    )  # fmt: skip
    failure_records.record_failure(team.live, person, record)


def _change(team: Team, person: Person, group: str) -> None:
    change = Change("device-same-batch", frozenset({f"group:{group}"}), frozenset({"T1"}))
    change_records.record_change(
        team.live, person, change, reference="MOC-1", on="2025-03-04", what="one batch for all"
    )


def _action(team: Team, person: Person, group: str) -> None:
    asked = [{"question": "SEP1", "of": f"group:{group}"}]
    fields = {"what": "split the taps", "owner": "engineer", "due": date(2199, 1, 1), "questions": asked}
    recorded_actions.raise_one(team.live, person, fields)


def _confirm(team: Team, person: Person, group: str) -> None:
    _change(team, LEADS, group)
    confirmations.confirm_answers(team.live, person, [("SEP1", f"group:{group}")])


def _settle(team: Team, person: Person, group: str) -> None:
    answer_records.record_dissent(team.live, LEADS, ("SEP1", f"group:{group}"), DISSENT)
    answer_records.close_dissent(team.live, person, ("SEP1", f"group:{group}"), who="TM-2", shown_by="photo 7")


def _take_back(team: Team, person: Person, group: str) -> None:
    event = answer_records.add_evidence(team.live, LEADS, ("SEP1", f"group:{group}"), EVIDENCE)
    answer_records.withdraw_evidence(
        team.live, person, ("SEP1", f"group:{group}"), number=event.seq, reason="the hook-up changed"
    )


def _close(team: Team, person: Person, group: str) -> None:
    _action(team, LEADS, group)
    key = next(reversed(team.now().records.actions))
    recorded_actions.close(team.live, person, key, evidence="drawing 9", verifier="somebody else")


def _answer(team: Team, person: Person, group: str) -> None:
    asked = ("SEP1", f"group:{group}")
    fields = {"question": asked[0], "of": asked[1], "value": "unknown", "note": "who knows"}
    answering.record(team.live, person, fields, seen=team.now().stored[asked].id)


def _reply(team: Team, person: Person, group: str) -> None:
    revision = team.put_up({"lt-501": "S50", "pt-301": "S30"}[group])
    asked = review_comments.comment(team.live, REVIEWS, revision, half="security", text="Which laptop was it?")
    review_comments.reply(team.live, person, revision, to=asked.seq, text="The one of the workshop.")


Deed = Callable[[Team, Person, str], Any]
DEEDS: dict[str, tuple[str, Deed]] = {
    "answer": ("answer a question", _answer),
    "evidence": ("record evidence", lambda t, who, group: answer_records.add_evidence(t.live, who, ("SEP1", f"group:{group}"), EVIDENCE)),
    "evidence-withdrawn": ("record evidence", _take_back),
    "dissent": ("record a dissent", lambda t, who, group: answer_records.record_dissent(t.live, who, ("SEP1", f"group:{group}"), DISSENT)),
    "dissent-closed": ("record a dissent", _settle),
    "private": ("answer privately", lambda t, who, group: answer_records.answer_privately(t.live, who, ("SEP1", f"group:{group}"), value="met")),
    "change": ("record a change", _change),
    "failure": ("record a change", _failure),
    "confirmed": ("confirm an answer", _confirm),
    "action": (Action.PERMISSION, _action),
    "action closed": (Action.PERMISSION, _close),
    "review-comment": (review_comment.Body.PERMISSION, _reply),
}  # fmt: skip
PLANT_WIDE = {"import plant data"}


@pytest.fixture
def both(team: Team) -> Team:
    """The team, with an answer in each of two systems."""
    team.say(*OURS, "partly", evidence="drawing D-501")
    return team


def test_every_permission_of_a_team_member_is_tried_here() -> None:
    permissions = {
        permission for permission, roles in MAY.items() if MEMBER in roles and not permission.startswith("see ")
    }
    assert {deed for deed, _ in DEEDS.values()} == permissions - PLANT_WIDE


@pytest.mark.parametrize("system", OWN)
def test_the_addressees_of_a_system_are_those_read_from_the_plant_by_hand(made: Team, system: str) -> None:
    state = made.now()
    assert teams.own(state.plant, state.assessment.links, {system}) == OWN[system]


def test_several_systems_have_the_addressees_of_each_and_an_unknown_system_has_none(made: Team) -> None:
    state = made.now()
    assert teams.own(state.plant, state.assessment.links, {"S30", "S50", "S99"}) == OWN["S30"] | OWN["S50"]
    assert teams.own(state.plant, state.assessment.links, {"S99"}) == frozenset()


def _by(team: Team, person: Person) -> list[Event]:
    """All events of a person."""
    return [event for event in team.store.events(1) if event.by == person.name]


@pytest.mark.parametrize(("deed", "do"), DEEDS.values(), ids=list(DEEDS))
def test_a_member_records_for_their_own_system_only(both: Team, deed: str, do: Deed) -> None:
    do(both, S50, "lt-501")
    events = _by(both, S50)
    assert events
    with pytest.raises(NotAllowed) as error:
        do(both, S50, "pt-301")
    of = "system:S30" if do is _reply else "group:pt-301"
    assert str(error.value) == f"to {deed} for {of} needs a member of another team; TM-5: team of S50"
    assert _by(both, S50) == events


@pytest.mark.parametrize(("deed", "do"), DEEDS.values(), ids=list(DEEDS))
def test_another_role_covers_every_system_if_it_has_the_permission(both: Team, deed: str, do: Deed) -> None:
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
    """A change of the plant affects answers of every system and invalidates the sign-off of each."""
    count = both.count()
    change = Change("device-same-batch", frozenset({"plant"}), frozenset({"T1"}))
    with pytest.raises(NotAllowed, match="to record a change for plant needs a member of another team"):
        change_records.record_change(
            both.live, S50, change, reference="MOC-1", on="2025-03-04", what="one batch for all"
        )
    with pytest.raises(NotAllowed, match="to answer a question for plant"):
        answering.record(both.live, S50, {"question": "PRO1", "of": "plant", "value": "unknown"}, seen=0)
    with pytest.raises(NotAllowed, match="to raise or change an action for plant"):
        recorded_actions.raise_one(both.live, S50, {"what": "ask", "owner": "engineer", "due": date(2199, 1, 1)})
    assert both.count() == count
    visible = _seen(both, S50)
    assert visible.is_visible("plant")
    assert not visible.is_answerable("plant")
    assert _seen(both, LEADS).is_answerable("plant")


def test_an_action_cannot_be_moved_from_another_system_to_ones_own(both: Team) -> None:
    _action(both, LEADS, "pt-301")
    (other,) = recorded_actions.held(both.now()).values()
    ours = other.model_copy(update={"questions": (Asked(question=OURS[0], of=OURS[1]),)})
    with pytest.raises(NotAllowed, match="for group:pt-301"):
        recorded_actions.take_over(both.live, S50, Proposed((Update(2, other, ours),), (), 0))
    assert recorded_actions.held(both.now()) == {other.id: other}


def test_a_list_of_one_team_is_taken_over_whatever_actions_others_have_and_tells_nothing_of_them(both: Team) -> None:
    _action(both, LEADS, "lt-501")
    _action(both, LEADS, "pt-301")  # the newest of the plant is another team's
    visible = _seen(both, S50)
    (own,) = recorded_actions.held(visible).values()
    new_rows = [f",{what},SEP1 of group:lt-501,engineer,2199-01-01" for what in ("move the tray", "seal it")]
    edited = "\n".join(
        [
            "Id,What,Questions,Owner,Due",
            f"{own.id},split the taps,SEP1 of group:lt-501,supervisor,2199-01-01",
            *new_rows,
        ]
    )
    proposed = action_list.read_csv(edited.encode(), recorded_actions.to_read_against(visible, S50))
    assert [action.what for action in proposed.new] == ["move the tray", "seal it"]
    recorded_actions.take_over(both.live, S50, proposed)
    new = {key: action for key, action in recorded_actions.held(_seen(both, S50)).items() if key != own.id}
    assert sorted(action.what for action in new.values()) == ["move the tray", "seal it"]
    assert all(int(key.removeprefix("A-")) >= action_rules.DRAWN for key in new), "no count of other teams' actions"
    with pytest.raises(Refused) as again:
        recorded_actions.take_over(both.live, S50, proposed)
    assert "A-002" not in str(again.value)
    _action(both, LEADS, "pt-301")
    assert "A-003" in recorded_actions.held(both.now()), "those who see all go on counting"


def test_a_list_with_an_action_of_another_team_is_refused_alike_whether_that_action_exists_or_not(both: Team) -> None:
    _action(both, LEADS, "pt-301")
    (theirs,) = recorded_actions.held(both.now()).values()
    refusals = []
    for what in (theirs.what, "something else"):
        new = theirs.model_copy(update={"id": "A-009", "what": what})
        with pytest.raises(NotAllowed, match="for group:pt-301") as refused:
            recorded_actions.take_over(both.live, S50, Proposed((), (new,), 0))
        refusals.append(str(refused.value))
    assert refusals[0] == refusals[1]


def test_a_plant_is_imported_only_with_the_permission_for_all_systems(both: Team) -> None:
    count = both.count()
    with pytest.raises(NotAllowed, match="to import plant data for the whole plant needs a member of another team"):
        plant_import.import_plant(both.store, S50, three_systems())
    assert both.count() == count
    plant_import.import_plant(both.store, replace(S50, systems=None), three_systems())


def _seen(team: Team, person: Person) -> State:
    return redaction.seen(team.now(), person)


def test_a_member_sees_the_answers_of_their_own_system_and_the_results_of_all(story: Team) -> None:
    state, visible = story.now(), _seen(story, S50)
    assert visible.stored == {asked: answer for asked, answer in state.stored.items() if asked[1] in OWN["S50"]}
    assert OURS in visible.stored
    assert THEIRS not in visible.stored
    for key in state.plant.groups:
        full, held = state.assessment.group(key), visible.assessment.group(key)
        assert replace(full, answers=held.answers) == held
        assert held.answers == (full.answers if f"group:{key}" in OWN["S50"] else {})
    for key in state.plant.functions:
        full_function, held_function = state.assessment.function(key), visible.assessment.function(key)
        assert held_function.cases == full_function.cases
        assert all(group.answers == {} for group in held_function.groups if f"group:{group.id}" not in OWN["S50"])
    for key in state.plant.zones:
        full_zone, held_zone = state.assessment.zone(key), visible.assessment.zone(key)
        ours = f"zone:{key}" in OWN["S50"]
        assert (held_zone.answers, held_zone.gaps) == ((full_zone.answers, full_zone.gaps) if ours else ({}, ()))


def test_another_systems_answer_for_a_shared_group_keeps_its_value_only(story: Team) -> None:
    """The logic solver belongs to S30 and S40, and answers of both apply to it. No result changes."""
    state, visible = story.now(), _seen(story, S40)
    full, held = state.assessment.group("ls-sis"), visible.assessment.group("ls-sis")
    original = full.answers["ASM1"]
    assert (original.of, original.evidence, original.by) == ("system:S30", "walk-down 12", "TM-1")
    shown = held.answers["ASM1"]
    assert (shown.of, shown.value) == ("system:S30", original.value)
    assert (shown.evidence, shown.note, shown.by, shown.on) == ("kept by another team", "", "", "")
    assert replace(full, answers=held.answers) == held
    afresh = Assessment(visible.plant, visible.assessment.answers, links=state.assessment.links)
    assert [replace(result, entries=()) for result in afresh.functions()] == [
        replace(result, entries=()) for result in state.assessment.functions()
    ]
    others = [answer for answer in visible.assessment.answers if answer.of not in OWN["S40"]]
    assert others
    assert {answer.evidence for answer in others} <= {"", "kept by another team"}


def test_a_revision_is_compared_without_the_evidence_of_another_system(story: Team) -> None:
    facts = revisions.fixed_body(story.live, story.latest("S30"))["facts"]
    whole = basis.assessment_of(facts)
    assert "walk-down 12" in {answer.evidence for answer in whole.answers if answer.of == "system:S30"}
    visible = redaction.fixed(whole, frozenset(OWN["S40"]))
    assert {answer.evidence for answer in visible.answers if answer.of == "system:S30"} == {"kept by another team"}
    assert visible.function("SIF-301").cases == whole.function("SIF-301").cases
    assert redaction.fixed(whole, None) is whole


def test_a_member_selects_among_their_own_systems_groups_and_zones(story: Team) -> None:
    visible = _seen(story, S50)
    assert (list(visible.systems), list(visible.groups), list(visible.zones)) == (["S50"], ["lt-501"], ["package"])
    assert [standing.system for standing in due_list.standings(visible)] == ["S50"]
    whole = _seen(story, LEADS)
    assert (whole.systems, whole.groups, whole.zones) == (whole.plant.systems, whole.plant.groups, whole.plant.zones)


def test_records_of_another_system_stay_with_its_team(story: Team, tmp_path: Any) -> None:
    team = story.copy(tmp_path / "answers.sqlite3")
    _action(team, LEADS, "pt-301")
    _action(team, LEADS, "lt-501")
    _failure(team, LEADS, "pt-301")
    _change(team, LEADS, "pt-301")
    answer_records.answer_privately(team.live, replace(S50, systems=None), THEIRS, value="met")
    full, visible = team.now().records, _seen(team, S50).records
    kinds = (full.evidence, full.dissents, full.attended, full.accepted, full.changes, full.failures, full.to_confirm)
    assert all(kinds), "each kind of record is there to be hidden"
    assert (full.private, list(visible.revisions), len(visible.actions)) == (full.private, ["S50"], 1)
    assert not any((
        visible.evidence, visible.dissents, visible.private, visible.attended, visible.accepted, visible.changes, visible.failures, visible.to_confirm,
    ))  # fmt: skip
    of_team = _seen(team, replace(S50, systems=frozenset({"S30"}))).records
    assert {
        name
        for name in vars(full)
        if name not in {"revisions", "actions", "dissents"} and getattr(full, name) != getattr(of_team, name)
    } == set()


def test_the_words_of_another_teams_change_or_failure_stay_with_it_where_it_reopens_an_answer_here(both: Team) -> None:
    """A change of the proof test of pt-301 reopens PRO1 of the plant, which every team answers under."""
    change = Change("proof-test", frozenset({"group:pt-301"}))
    change_records.record_change(both.live, LEADS, change, reference="MOC-7", on="2025-03-04", what="tested late")
    asked = ("PRO1", "plant")
    visible = _seen(both, S50).records
    assert visible.to_confirm[asked].what == "a change recorded by another team"
    assert visible.data_to_check
    assert "MOC-7" not in repr(visible)
    assert "tested late" not in repr(visible)
    of_team = _seen(both, replace(S50, systems=frozenset({"S30"}))).records
    assert (of_team.to_confirm[asked].what, of_team.changes) == ("MOC-7: tested late", both.now().records.changes)
    _failure(both, LEADS, "pt-301")
    assert "worn seal" in repr(_seen(both, replace(S50, systems=frozenset({"S30"}))).records)
    assert "worn seal" not in repr(_seen(both, S50).records)
    own = Change("proof-test", frozenset({"device:LT"}))
    change_records.record_change(both.live, LEADS, own, reference="MOC-8", on="2025-03-04", what="a new clinic")
    assert _seen(both, S50).records.to_confirm[asked].what == "MOC-8: a new clinic", "a device of their group"
    assert "a new clinic" not in repr(_seen(both, S40).records)


def test_an_effect_on_a_shared_group_is_computed_with_all_answers(story: Team) -> None:
    """The effect of an answer for a shared group is the same number for every reader."""
    state, visible = story.now(), _seen(story, S40)
    for asked in visible.stored:
        for key in state.plant.functions:
            assert visible.before(*asked).function(key).cases == state.before(*asked).function(key).cases


def test_a_plant_file_holds_the_answers_that_its_reader_may_see(story: Team) -> None:
    assert {answer.of for answer in _seen(story, S50).file().answers} == {"plant", "group:lt-501"}
    assert _seen(story, replace(S50, systems=frozenset({"S99"}))).file().answers == []
    assert _seen(story, Person("V", frozenset({VIEWER}))).file().answers == []
