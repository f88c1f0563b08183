"""Actions: their faults and how they end. The rules are common practice, no source."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from checks.access.names import same
from checks.actions.action_rules import Action, Asked, age, check, closed, done, dropped, next_id, overdue, reopened
from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.text.faults import Refused
from tests.checks.actions.drawn import ENDS, RAISED, TODAY, action, actions, in_state
from tests.checks.given import valid_plant

TAPS = Asked(question="SEP4", of="group:pt-301")


def told(checked: Action, *, with_plant: bool = False) -> list[str]:
    return [str(fault) for fault in check(checked, valid_plant() if with_plant else None)]


@given(actions())
def test_an_action_that_leaves_as_json_comes_back_equal(checked: Action) -> None:
    body = json.loads(json.dumps(checked.model_dump(mode="json")))
    assert Action.model_validate(body) == checked
    assert Action.model_validate_json(json.dumps(body)) == checked


@given(actions())
def test_nothing_is_wrong_with_what_the_other_properties_are_drawn_from(checked: Action) -> None:
    assert told(checked, with_plant=True) == []


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("id", "A-1"),
        ("id", "a-001"),
        ("id", "A-001\n"),
        ("id", "A-٠٠١"),
        ("what", ""),
        ("owner", "o" * 201),
        ("interim", "i" * 2001),
        ("due", "31/02/2025"),
        ("due", "20250304"),
        ("due", "2025-02-30"),
        ("due", "0225-03-04"),
        ("due", 45720),
        ("state", "verified"),
        ("reopened", -1),
        ("reopened", 1.0),
        ("reopened", True),
        ("answer_to", "yes"),
        ("questions", [{"question": "SEP4", "of": "pt-301"}]),
        ("questions", [{"question": "SEP4", "of": "group:a b"}]),
        ("questions", [{"question": "SEP4; PRO1", "of": "plant"}]),
        ("questions", [{"question": "SEP4", "of": "plant"}] * 101),
        ("colour", "red"),
    ],
)
def test_what_no_action_can_hold_is_refused(field: str, value: Any) -> None:
    with pytest.raises(ValidationError) as caught:
        action(**{field: value})
    assert caught.value.errors()[0]["loc"][0] == field


@pytest.mark.parametrize(
    ("fields", "place"),
    [
        ({"what": "  "}, "what"),
        ({"owner": "\t"}, "owner"),
        ({"raised_by": ""}, "raised_by"),
        ({"due": RAISED - timedelta(days=1)}, "due"),
        ({"questions": [TAPS, TAPS]}, "questions"),
        ({"questions": [Asked(question="SEP99", of="plant")]}, "questions"),
        ({"answer_from": "met", "answer_to": "met"}, "answer_to"),
        ({"answer_to": "not-met"}, "answer_to"),
        ({"state": "dropped", "closed_on": TODAY}, "reason"),
        ({"state": "dropped", "reason": "gone"}, "closed_on"),
        ({"reason": "gone"}, "reason"),
        ({"closed_on": TODAY}, "closed_on"),
        ({"state": "done", "verifier": "technical authority"}, "verifier"),
    ],
)
def test_an_action_in_which_things_do_not_fit_has_one_fault_at_that_field(fields: dict[str, Any], place: str) -> None:
    assert [fault.place for fault in check(action(**fields))] == [place]


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"system": "S99"}, "system: S99 is not among the systems; known systems: S30, S40"),
        ({"questions": [Asked(question="SEP4", of="group:gone")]}, "questions: group:gone does not exist"),
        ({"questions": [Asked(question="SEP4", of="plant")]}, "questions: SEP4 cannot be answered for plant"),
    ],
)
def test_what_the_plant_does_not_hold_is_a_fault_where_a_plant_is_given(fields: dict[str, Any], message: str) -> None:
    assert told(action(**fields)) == []
    (line,) = told(action(**fields), with_plant=True)
    assert line.startswith(message)


def test_every_fault_is_told_at_once() -> None:
    wrong = in_state("closed", evidence=" ", verifier="Instrument Engineer", what=" ", due=RAISED - timedelta(days=9))
    assert sorted(fault.place for fault in check(wrong)) == ["due", "evidence", "verifier", "what"]


def test_ids_go_on_from_the_highest_ever_used_whatever_lies_between() -> None:
    assert next_id([]) == "A-001"
    assert next_id(["A-007", "A-002"]) == "A-008"
    assert next_id(["A-999"]) == "A-1000"


@given(st.sets(st.integers(1, 200000)))
def test_an_id_is_never_used_again(used: set[int]) -> None:
    ids = {f"A-{number:03d}" for number in used}
    fresh = next_id(ids)
    assert fresh not in ids
    assert action(id=fresh).id == fresh


@pytest.mark.parametrize("owner", ["Instrument Engineer", " instrument\u00a0engineer ", "INSTRUMENTENGINEER"])
def test_the_owner_cannot_verify_however_the_name_is_written(owner: str) -> None:
    with pytest.raises(Refused, match="owns the action; somebody other than the action owner"):
        closed(action(), evidence="walk-down 31", verifier=owner, on=TODAY)


def test_a_letter_stored_in_two_ways_is_the_same_letter() -> None:
    assert same("Ren\u00e9", "Rene\u0301")
    assert not same("Rene", "Ren\u00e9")


@pytest.mark.parametrize("evidence", ["", " ", "\n\t"])
def test_an_action_does_not_close_without_evidence(evidence: str) -> None:
    with pytest.raises(Refused, match="evidence: missing"):
        closed(action(), evidence=evidence, verifier="technical authority", on=TODAY)


def test_an_action_does_not_close_without_a_verifier_or_before_it_was_raised() -> None:
    with pytest.raises(Refused) as caught:
        closed(action(), evidence="walk-down 31", verifier=" ", on=RAISED - timedelta(days=1))
    assert [fault.place for fault in caught.value.faults] == ["closed_on", "verifier"]


def test_text_that_no_action_can_hold_is_refused_in_plain_words() -> None:
    with pytest.raises(Refused, match=r"evidence: found 'xxx.*at most 2000 characters"):
        closed(action(), evidence="x" * 2001, verifier="technical authority", on=TODAY)


def test_closing_says_which_answers_to_take_up_again_and_changes_none() -> None:
    assessment = Assessment(valid_plant())
    before = outcome(assessment)
    closing = closed(action(), evidence="walk-down 31", verifier="technical authority", on=TODAY)
    assert closing.take_up == (TAPS, Asked(question="PRO1", of="plant"))
    assert closing.action.state == "closed"
    assert check(closing.action) == []
    assert outcome(assessment) == before
    assert assessment.answers.get("SEP4", "group:pt-301").value == "partly"


@pytest.mark.parametrize("state", ["closed", "dropped"])
def test_what_has_ended_ends_no_second_time_but_can_be_reopened(state: str) -> None:
    stored = in_state(state)
    for again in (
        lambda: closed(stored, evidence="walk-down 31", verifier="technical authority", on=TODAY),
        lambda: dropped(stored, reason="gone", on=TODAY),
        lambda: done(stored, evidence="photo 3"),
    ):
        with pytest.raises(Refused, match=f"it is {state} already; reopen an ended action first"):
            again()
    again_open = reopened(stored)
    assert (again_open.state, again_open.reopened) == ("open", 1)
    assert (again_open.evidence, again_open.verifier, again_open.reason, again_open.closed_on) == ("", "", "", None)
    assert check(again_open) == []


def test_what_was_only_said_to_be_done_counts_as_reopened_when_it_was_not() -> None:
    assert reopened(done(reopened(done(action(), evidence="a")), evidence="b")).reopened == 2
    with pytest.raises(Refused, match="it is open already"):
        reopened(action())


def test_evidence_that_the_owner_offers_waits_for_the_verifier() -> None:
    offered = done(action(), evidence="work order 4711")
    assert (offered.state, offered.evidence, offered.closed_on) == ("done", "work order 4711", None)
    with pytest.raises(Refused, match="it is done already"):
        done(offered, evidence="again")
    with pytest.raises(Refused, match="evidence: missing; give the evidence of completion"):
        done(action(), evidence=" ")


def test_an_action_is_dropped_with_a_reason_only() -> None:
    assert dropped(action(), reason="the drum is taken out", on=TODAY).state == "dropped"
    with pytest.raises(Refused, match="reason: missing"):
        dropped(action(), reason=" ", on=TODAY)


def test_an_action_ages_until_it_ends() -> None:
    # 4 March to 1 October: 27 + 30 + 31 + 30 + 31 + 31 + 30 + 1 days; to 1 August: 27 + 30 + 31 + 30 + 31 + 1
    assert age(action(), TODAY) == 211
    assert age(in_state("done"), TODAY) == 211
    assert age(in_state("closed"), TODAY) == 150
    assert age(in_state("dropped"), TODAY) == 150


@pytest.mark.parametrize(("state", "late"), [("open", True), ("done", True), ("closed", False), ("dropped", False)])
def test_an_action_is_overdue_after_its_due_day_until_somebody_verified_or_dropped_it(state: str, late: bool) -> None:  # noqa: FBT001
    stored = in_state(state)
    assert not overdue(stored, stored.due)
    assert overdue(stored, stored.due + timedelta(days=1)) is late


@pytest.mark.parametrize("state", ENDS)
def test_each_state_with_what_it_needs_is_taken(state: str) -> None:
    assert told(in_state(state), with_plant=True) == []


def test_a_day_is_a_day_and_no_moment() -> None:
    assert action(due="2025-09-01").due == date(2025, 9, 1)
    with pytest.raises(ValidationError):
        action(due="2025-09-01T00:00:00")
