"""Allowed changes in the record: who may allow them, what counts, how they become actions, lists, exports."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import Any

import pytest

from checks.access.roles import MEMBER, NotAllowed, Person
from checks.actions import action_list, action_rules, recorded_actions
from checks.allowed_changes.change import GroupChange, changed_plant
from checks.assessment.assessment import Assessment
from checks.improvement import actions_of_set, advice, recorded_changes
from checks.journal.errors import Overtaken
from checks.text.faults import Refused
from checks.visibility import redaction
from tests.checks.record_files.handed import verdict
from tests.checks.team import ANSWERS, DAY, LEADS, LOOKS_ON, Team

GROUP = "pt-301"
SHORTER = GroupChange(GROUP, "interval", "", "4380")
DUE = DAY + timedelta(days=30)
OF_S50 = Person("TM-5", frozenset({MEMBER}), systems=frozenset({"S50"}))


def _texts(**texts: str) -> dict[str, str]:
    return {"group": GROUP, "change": "interval", "test": "", "to": "4380", "effort": "3", **texts}


def _allow(team: Team, person: Person = LEADS, **texts: str) -> None:
    recorded_changes.allow(team.live, person, _texts(**texts))


def _counting(team: Team) -> dict[GroupChange, float]:
    return recorded_changes.fitting_now(team.now(), [GROUP])


def test_an_allowed_change_is_shared_gets_another_effort_and_can_be_withdrawn(team: Team) -> None:
    _allow(team, reason="a spare loop is there")
    (entry,) = recorded_changes.standing(team.now()).values()
    assert (entry.effort, entry.was, entry.reason, entry.cause.by) == (3.0, "8760", "a spare loop is there", LEADS.name)
    _allow(team, ANSWERS, effort="")
    assert _counting(team) == {SHORTER: 1.0}
    recorded_changes.withdraw(team.live, ANSWERS, SHORTER)
    assert _counting(team) == {}
    with pytest.raises(Refused, match="is not allowed"):
        recorded_changes.withdraw(team.live, ANSWERS, SHORTER)


def test_what_is_no_change_of_the_plant_stores_nothing(team: Team) -> None:
    before = team.count()
    with pytest.raises(Refused) as refused:
        _allow(team, to="8760 h", effort="-1")
    assert {fault.place for fault in refused.value.faults} == {"to", "effort"}
    for person in (LOOKS_ON, OF_S50):
        with pytest.raises(NotAllowed):
            _allow(team, person)
    assert team.count() == before


def test_at_most_six_changes_of_a_group_are_allowed_also_by_two_people_at_once(
    team: Team, monkeypatch: pytest.MonkeyPatch
) -> None:
    for hours in (1000, 2000, 3000, 4000, 5000):
        _allow(team, to=str(hours))
    state = team.now()
    _allow(team, to="6000")
    with pytest.raises(Refused, match="6 changes of pt-301 are allowed; at most 6: withdraw one first"):
        _allow(team, to="7000")
    _allow(team, to="6000", effort="9")
    monkeypatch.setattr(team.live, "state", lambda: state)
    with pytest.raises(Overtaken):
        _allow(team, ANSWERS, to="7000")


def test_a_change_changes_no_result_and_invalidates_no_signature(team: Team) -> None:
    revision = team.signed()
    before = team.now()
    _allow(team)
    after = team.now()
    assert after.records.again(revision).voided is None
    assert after.assessment.function("SIF-301") == before.assessment.function("SIF-301")


def test_a_change_that_the_plant_has_by_now_counts_no_more(team: Team) -> None:
    _allow(team)
    team.change(changed_plant(team.now().plant, [SHORTER]))
    assert list(recorded_changes.standing(team.now())) == [SHORTER]
    assert _counting(team) == {}


def test_another_team_sees_no_change_of_this_one(team: Team) -> None:
    _allow(team)
    assert redaction.seen(team.now(), OF_S50).records.allowed == {}
    found = advice.of_functions(redaction.seen(team.now(), OF_S50), ["SIF-301"], "scored")
    assert found.whole.model.changes == ()
    full = advice.of_functions(team.now(), ["SIF-301"], "scored")
    assert full.whole.model.changes == (SHORTER,)


def _recorded(team: Team) -> Any:
    _allow(team, reason="a spare loop is there")
    actions_of_set.record(team.live, LEADS, [SHORTER], owner="technician", due=DUE, system="S30")
    (action,) = recorded_actions.held(team.now()).values()
    return action


def test_a_change_of_a_set_becomes_an_action_with_owner_and_due_day(team: Team) -> None:
    action = _recorded(team)
    assert action.what == "interval of pt-301: 8760 → 4380 h (a spare loop is there)"
    assert (action.owner, action.due, action.system, action.questions) == ("technician", DUE, "S30", ())
    assert action.plant_change is not None
    assert action.plant_change.allowed == SHORTER
    (offer,) = actions_of_set.offers(team.now(), LEADS, [SHORTER])
    assert (offer.open_action, offer.value, offer.expected, offer.free) == (action.id, "8760", "4380", False)
    with pytest.raises(Refused, match="interval of pt-301 to 4380 h: an action is open for it already"):
        actions_of_set.record(team.live, LEADS, [SHORTER], owner="technician", due=DUE, system="S30")


def test_the_expected_effect_of_such_an_action_is_that_of_the_changed_plant(team: Team) -> None:
    action = _recorded(team)
    state = team.now()
    after = Assessment(changed_plant(state.plant, [SHORTER]), state.assessment.answers)
    moved = {move.function: move.then for move in action_rules.expected_effect(action, state.assessment).functions}
    assert moved == {name: after.function(name).cases.scored for name in state.assessment.links.uses[GROUP]}
    done = team.now().assessment.with_plant(after.plant)
    assert action_rules.expected_effect(action, done).functions == ()


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_the_list_of_actions_goes_out_and_comes_back_with_the_change(team: Team, kind: str) -> None:
    action = _recorded(team)
    state = team.now()
    write, read = {
        "csv": (action_list.to_csv, action_list.read_csv),
        "xlsx": (action_list.to_xlsx, action_list.read_xlsx),
    }[kind]
    raw = write([action], state.assessment, today=DAY)
    back = read(raw, recorded_actions.to_read_against(state, LEADS))
    assert (back.updates, back.new, back.unchanged) == ((), (), 1)
    if kind == "csv":
        edited = raw.decode("utf-8-sig").replace("8760 → 4380 h\r\n", "8760 → 2190 h\r\n").encode()
        with pytest.raises(Refused, match=r"column Allowed change: .* a list does not change this"):
            read(edited, recorded_actions.to_read_against(state, LEADS))


def test_an_action_without_a_change_is_stored_as_before(team: Team) -> None:
    """Fields that are not used are absent, so that records of earlier releases keep their hashes."""
    recorded_actions.raise_one(team.live, LEADS, {"what": "split the taps", "owner": "engineer", "due": DUE})
    events = [event for event in team.live.store.events(team.live.key) if event.kind == "action"]
    assert "plant_change" not in events[-1].content
    _allow(team)
    (allowed,) = [event for event in team.live.store.events(team.live.key) if event.kind == "allowed-change"]
    assert set(allowed.content) == {"group", "change", "was", "to", "effort"}


def test_a_record_file_shows_the_change_and_its_action_and_verifies(team: Team) -> None:
    _recorded(team)
    team.signed()
    status, lines = verdict(team.export())
    assert status == 0, lines
    shown = [event["event"] for event in json.loads(team.export())["events"] if "event" in event]
    assert {"action", "allowed-change"} <= {event["kind"] for event in shown}
