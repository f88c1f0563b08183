"""Efforts in the record, and a set made into actions."""

from __future__ import annotations

from datetime import timedelta

import pytest

from checks.access.roles import MEMBER, NotAllowed, Person
from checks.actions import recorded_actions
from checks.improvement import actions_of_set, advice, recorded_efforts
from checks.journal.errors import Overtaken
from checks.text.faults import Refused
from checks.visibility import redaction
from tests.checks.team import ANSWERS, DAY, LEADS, LOOKS_ON, Team

SEP1, SEP4 = ("SEP1", "group:pt-301"), ("SEP4", "group:pt-301")
DUE = DAY + timedelta(days=30)
OF_S50 = Person("TM-5", frozenset({MEMBER}), systems=frozenset({"S50"}))


def test_an_effort_is_shared_and_can_be_taken_away_again(team: Team) -> None:
    recorded_efforts.enter(team.live, LEADS, {SEP1: "2.5", SEP4: "4"})
    assert recorded_efforts.entered(team.now()) == {SEP1: 2.5, SEP4: 4.0}
    recorded_efforts.enter(team.live, ANSWERS, {SEP1: "", SEP4: "5"})
    assert recorded_efforts.entered(team.now()) == {SEP4: 5.0}


def test_what_is_no_effort_stores_nothing(team: Team) -> None:
    before = team.count()
    with pytest.raises(Refused, match="SEP4 of group:pt-301: effort much; a number above 0"):
        recorded_efforts.enter(team.live, LEADS, {SEP1: "2", SEP4: "much"})
    with pytest.raises(Refused, match="nothing changes"):
        recorded_efforts.enter(team.live, LEADS, {SEP1: ""})
    with pytest.raises(NotAllowed):
        recorded_efforts.enter(team.live, LOOKS_ON, {SEP1: "2"})
    with pytest.raises(NotAllowed):
        recorded_efforts.enter(team.live, OF_S50, {SEP1: "2"})
    assert team.count() == before


def test_an_effort_changes_no_result_and_invalidates_no_signature(team: Team) -> None:
    revision = team.signed()
    before = team.now()
    recorded_efforts.enter(team.live, LEADS, {SEP1: "2"})
    after = team.now()
    assert after.records.again(revision).voided is None
    assert after.assessment.function("SIF-301") == before.assessment.function("SIF-301")


def test_of_two_who_enter_an_effort_at_once_one_is_told(team: Team, monkeypatch: pytest.MonkeyPatch) -> None:
    state = team.now()
    recorded_efforts.enter(team.live, LEADS, {SEP1: "2"})
    monkeypatch.setattr(team.live, "state", lambda: state)
    with pytest.raises(Overtaken):
        recorded_efforts.enter(team.live, ANSWERS, {SEP1: "3"})


def test_a_set_becomes_one_action_for_each_answer(team: Team) -> None:
    team.say(*SEP1, "not-met")
    actions_of_set.record(team.live, LEADS, [SEP1, SEP4], owner="technician", due=DUE, system="S30")
    first, second = recorded_actions.held(team.now()).values()
    assert [(asked.question, asked.of) for each in (first, second) for asked in each.questions] == [SEP1, SEP4]
    assert (first.id, first.answer_from, first.answer_to, first.owner, first.due) == (
        "A-001",
        "not-met",
        "met",
        "technician",
        DUE,
    )
    assert first.what.startswith("SEP1 of group:pt-301: ")


def test_an_action_that_is_open_already_is_not_recorded_twice(team: Team) -> None:
    for asked in (SEP1, SEP4):
        team.say(*asked, "not-met")
    actions_of_set.record(team.live, LEADS, [SEP1], owner="technician", due=DUE, system="S30")
    before = team.count()
    with pytest.raises(Refused, match="SEP1 of group:pt-301: an action is open for it already"):
        actions_of_set.record(team.live, LEADS, [SEP4, SEP1], owner="technician", due=DUE, system="S30")
    assert team.count() == before
    offers = actions_of_set.offers(team.now(), LEADS, [SEP1, SEP4])
    assert [(offer.open_action, offer.free) for offer in offers] == [("A-001", False), ("", True)]
    recorded_actions.drop(team.live, LEADS, "A-001", reason="another design")
    actions_of_set.record(team.live, LEADS, [SEP1], owner="technician", due=DUE, system="S30")


def test_an_action_without_owner_or_date_is_refused_and_so_is_one_of_another_team(team: Team) -> None:
    team.say(*SEP1, "not-met")
    with pytest.raises(Refused) as refused:
        actions_of_set.record(team.live, LEADS, [SEP1], owner=" ", due=None, system="S30")
    assert {fault.place for fault in refused.value.faults} == {"due", "owner"}
    with pytest.raises(NotAllowed):
        actions_of_set.record(team.live, OF_S50, [SEP1], owner="technician", due=DUE, system="S30")
    (offer,) = actions_of_set.offers(team.now(), OF_S50, [SEP1])
    assert "needs a member of another team" in offer.refused


def test_a_member_of_another_team_is_offered_no_answer_of_this_one(team: Team) -> None:
    team.say(*SEP1, "not-met")
    team.say("ASM1", "system:S30", "not-met")
    seen = redaction.seen(team.now(), OF_S50)
    found = advice.of_functions(seen, ["SIF-301"], "scored")
    assert not {of for _, of in found.whole.model.actions} & {"group:pt-301", "system:S30"}
    full = advice.of_functions(team.now(), ["SIF-301"], "scored")
    assert {SEP1, ("ASM1", "system:S30")} <= set(full.whole.model.actions)


def test_an_answer_that_a_blind_round_hides_counts_as_not_known(team: Team) -> None:
    team.hide_all()
    seen = redaction.seen(team.now(), ANSWERS)
    found = advice.of_functions(seen, ["SIF-301"], "scored")
    assert found.hidden > 0
    assert SEP1 in found.whole.model.actions
    actions_of_set.record(team.live, ANSWERS, [SEP1], owner="technician", due=DUE, system="S30")
    (action,) = recorded_actions.held(team.now()).values()
    assert action.answer_from == "unknown", "the record does not tell the hidden answer"
