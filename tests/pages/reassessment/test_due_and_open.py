"""Due and open: systems by urgency, evidence that ends, actions."""

from __future__ import annotations

from datetime import timedelta

from checks.access.roles import FACILITATOR, MEMBER
from checks.actions import action_rules, recorded_actions
from checks.journal.store import Store
from checks.reassessment import (
    due_list,
)
from checks.recording import answer_records
from checks.state.live import Live
from tests.checks.team import ANSWERS, DAY, EVIDENCE, Team, ahead
from tests.pages.at_the_screen import as_, press, unfold
from tests.pages.shown import Screen, fine, rows, said, tables, unescaped

SEEN = ("SEP1", "group:pt-301")


def test_due_and_open_lists_void_systems_first_and_expiring_evidence(team: Team, screen: Screen) -> None:
    team.signed()
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "valid_until": ahead(10)})
    at = fine(screen("due"))
    assert "## 0 overdue, 1 void, of 3 safety systems" in said(at)
    first = rows(at, "Systems, the most urgent first")[0]
    assert first["System"].startswith("S30")
    assert first["Standing"] == "void"
    (row,) = rows(at, "Expired and expiring evidence")
    assert (row["Questions"], row["Until"], row["Status"]) == ("SEP1 of group pt-301", ahead(10), "expires soon")
    (row,) = rows(unfold(at, "each_piece"), "question by question")
    assert (row["Question"], row["Of"]) == ("SEP1", "group pt-301")


def test_evidence_that_ended_is_a_claim_only_where_nothing_else_holds(team: Team, screen: Screen) -> None:
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "identifier": "H-1", "valid_until": ahead(-1)})
    team.say(*SEEN, evidence="drawing 5")
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "identifier": "H-2", "valid_until": ahead(0)})
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "identifier": "H-3"})
    ending = due_list.evidence_ending(team.on(DAY + timedelta(days=2)).now())
    assert [(item.evidence.identifier, item.ended, item.claim) for item in ending] == [("H-2", True, False)]
    answer_records.withdraw_evidence(
        team.live, ANSWERS, SEEN, number=team.now().records.evidence[SEEN][-1].number, reason="moved"
    )
    ending = due_list.evidence_ending(team.on(DAY + timedelta(days=2)).now())
    assert [(item.evidence.identifier, item.ended, item.claim) for item in ending] == [("H-2", True, True)]
    assert rows(fine(screen("due")), "Expired and expiring evidence")[0]["Status"] == "expires soon"


def test_an_action_is_raised_closed_by_another_and_moves_no_number(team: Team, screen: Screen) -> None:
    at = unfold(as_(screen("due"), "FA-1", FACILITATOR, MEMBER), "act")
    before = team.now().assessment.function("SIF-301").cases
    at.text_input(key="raise_what").set_value("=1+1 split the taps")
    at.text_input(key="raise_owner").set_value("TM-1")
    at.selectbox(key="raise_system").set_value("S30")
    at.date_input(key="raise_due").set_value(DAY + timedelta(days=30))
    fine(press(at, "Raise action"))
    (row,) = rows(at, "Open actions")
    cells = (row["Id"], row["Action"], row["System"], row["Age, days"])
    assert cells == ("A-001", "=1+1 split the taps", "S30", "0")
    at.text_input(key="end_evidence").set_value("walk-down 31")
    at.text_input(key="end_verifier").set_value("tm-1")
    press(at, "Close action")
    assert any("somebody other than the action owner" in unescaped(element.value) for element in at.error)
    at.text_input(key="end_verifier").set_value("OW-1")
    fine(press(at, "Close action"))
    assert not tables(at, "Open actions")
    assert team.now().assessment.function("SIF-301").cases == before


def test_what_is_due_stands_first_and_the_rest_is_folded(store: Store, screen: Screen) -> None:
    state = Live(store, 1).state()
    systems, actions = due_list.standings(state), recorded_actions.by_age(state)
    late = {action.id for action in actions if action_rules.overdue(action, state.day)}
    ending, until_event = due_list.evidence_ending(state), due_list.until_event(state)
    at = fine(screen("due"))
    due = [system.system for system in systems if system.asks]
    assert {"S20", "S30"} <= set(due), "overdue since 2026-05-06, and void"
    assert [row["System"].split()[0] for row in rows(at, "Systems, the most urgent first")] == due
    assert {row["Id"] for row in rows(at, "Open actions, the oldest first")} == late
    pieces = {(each.evidence.identifier, each.evidence.shows, each.evidence.valid_until) for each in ending}
    shown = rows(at, "Expired and expiring evidence")
    assert len(ending) > len(shown) >= len(pieces), "a piece of evidence stands once, however many answers rest on it"
    assert any(" more" in row["Questions"] for row in shown)
    at = unfold(at, "not_due", "not_overdue", "each_piece")
    assert [row["System"].split()[0] for row in rows(at, "Systems that are not due")] == [
        system.system for system in systems if not system.asks
    ]
    assert {row["Id"] for row in rows(at, "Actions that are not overdue")} == {action.id for action in actions} - late
    assert len(rows(at, "question by question")) == len(ending) + len(until_event)
