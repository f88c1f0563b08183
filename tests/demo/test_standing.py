"""Where each system stands, on the day the demo was made and in the years after."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest

from checks.access import names, roles
from checks.access.roles import Person
from checks.actions import register
from checks.reassessment import reassessments, schedule
from checks.recording import session
from checks.signoff.revisions import stands, state_of
from checks.state.entries import FOLLOWED, REVIEWED, SIGNED, VOID
from checks.state.live import Live
from checks.visibility import redaction

TODAY = "2026-11-25"


@pytest.mark.parametrize(
    ("system", "states"),
    [
        ("S20", [VOID, VOID, SIGNED]),
        ("S30", [FOLLOWED, FOLLOWED, VOID]),
        ("S40", [VOID, VOID, SIGNED]),
        ("S50", [VOID, VOID, REVIEWED]),
        ("S70", [VOID, VOID, SIGNED]),
    ],
)
def test_each_system_has_three_revisions_in_these_states(
    seen: Callable[[str], Live], system: str, states: list[str]
) -> None:
    now = seen(TODAY).state()
    assert [stands(now, one) for one in now.records.revisions[system]] == states


def test_what_was_signed_of_unit_30_is_void_by_the_new_solenoids_and_only_the_valves_are_to_be_confirmed(
    seen: Callable[[str], Live],
) -> None:
    now = seen(TODAY).state()
    assert now.records.complete(now.records.revisions["S30"][2])
    assert "Solenoid valves of ESV-301A and B" in state_of(now, "S30")[1]
    assert {of for _, of in now.records.to_confirm} == {"group:esv-301"}
    assert {"T2", "T3", "T8"} <= set(reassessments.topics_waiting(now, "S30"))
    assert all(not reassessments.topics_waiting(now, other) for other in ("S20", "S40", "S50", "S70"))


@pytest.mark.parametrize(
    ("system", "due", "looks"),
    [
        ("S20", "2026-05-06", {"2026-03-01": "in time", "2026-04-01": "due soon", TODAY: "overdue", "2040-01-01": "overdue"}),
        ("S30", "2028-05-06", {TODAY: "in time", "2028-04-01": "due soon", "2028-05-07": "overdue"}),
        ("S40", "2031-07-09", {TODAY: "in time", "2031-05-20": "due soon"}),
        ("S70", "2029-07-09", {TODAY: "in time"}),
    ],
)  # fmt: skip
def test_one_system_is_overdue_whenever_one_looks_and_the_others_are_in_time_for_years(
    seen: Callable[[str], Live], system: str, due: str, looks: dict[str, str]
) -> None:
    now = seen(TODAY).state()
    signed = now.records.signed(system)
    assert signed is not None
    assert signed.number == 2
    found = reassessments.due(now, signed)
    assert found.isoformat() == due
    assert {day: schedule.state(found, date.fromisoformat(day)) for day in looks} == looks


def test_a_conditional_sign_off_ends_with_its_last_day_and_says_so(seen: Callable[[str], Live]) -> None:
    for day, expected in (("2027-06-30", (SIGNED, "2027-06-30")), ("2027-07-01", (VOID, "ended on 2027-06-30"))):
        state, why = state_of(seen(day).state(), "S70")
        assert state == expected[0]
        assert expected[1] in why
    (condition,) = seen(TODAY).state().records.revisions["S70"][2].signatures["safety"].conditions
    assert "MOC-26-020" in condition


def test_one_system_is_with_the_reviewers_with_one_half_signed_and_nothing_but_a_signature_is_missing(
    seen: Callable[[str], Live],
) -> None:
    live = seen(TODAY)
    assert state_of(live.state(), "S50") == (REVIEWED, "revision 2: signed so far: safety")


def test_one_dissent_is_open_and_one_was_settled_by_evidence(seen: Callable[[str], Live]) -> None:
    now = seen(TODAY).state()
    assert set(now.records.dissents) == {("ENV2", "group:ltd-303"), ("PRO2", "group:con-303")}
    (taps,), (tests,) = now.records.dissents["ENV2", "group:ltd-303"], now.records.dissents["PRO2", "group:con-303"]
    assert (taps.who, taps.value, taps.closed) == ("instrument engineer IE-2", "met", "")
    assert "A-001" in taps.settles
    assert "WO-23-0870" in tests.closed
    assert now.assessment.answers.of("group:ltd-303")["ENV2"].value == "not-met", "the less favourable one counts"


def test_evidence_that_has_run_out_leaves_a_claim_and_other_evidence_holds(seen: Callable[[str], Live]) -> None:
    asked = ("CPX6", "group:pt-301")
    before, after = seen("2026-10-31").state(), seen("2026-11-01").state()
    assert before.assessment.answers.of(asked[1])[asked[0]].evidence == "Session notes SN-25"
    assert after.assessment.answers.of(asked[1])[asked[0]].evidence == ""
    held = after.records.evidence
    assert sum(one.expired(after.day) for several in held.values() for one in several) == 27
    assert sum(not one.expired(after.day) for several in held.values() for one in several) == 10


def test_two_gaps_of_the_safety_zone_are_accepted_to_the_turnaround_by_their_names(
    seen: Callable[[str], Live],
) -> None:
    now = seen(TODAY).state()
    for question, name in (("A01", "G-02"), ("L07", "G-03")):
        one = now.records.accepted["S30", "Z5", question]
        assert one.reason.startswith(name)
        assert one.until == "2028-06-30"
        assert one.cause.by == "asset owner AO-1"
        assert one.holds(now.day)


def test_nobody_signed_who_answered(seen: Callable[[str], Live]) -> None:
    now = seen(TODAY).state()
    signers = {
        one.statement["signer"]
        for held in now.records.revisions.values()
        for revision in held
        for one in revision.signatures.values()
    }
    assert signers == {"independent assessor IA-1", "security reviewer SR-2"}
    given = {names.plain(one.answer.by) for one in now.stored.values()}
    assert len(given) > 5
    assert not given & {names.plain(one) for one in signers}


def test_every_revision_rests_on_the_banks_in_use(seen: Callable[[str], Live]) -> None:
    revisions = [one for held in seen(TODAY).state().records.revisions.values() for one in held]
    assert len(revisions) == 15
    now = seen(TODAY).state().assessment.editions
    assert {one.number for one in revisions if one.banks == now.banks_named()} == {2}, "the last move is to format 2"
    assert all({**one.banks, "cyber": 0} == {**now.banks_named(), "cyber": 0} for one in revisions)


def test_open_actions_age_and_one_was_closed_too_early(seen: Callable[[str], Live]) -> None:
    """The air dryer's alarm was 410 days old when the gaps were accepted: the demo's own story, no outside source."""
    then, now = seen("2025-04-28").state(), seen(TODAY).state()
    opened = register.by_age(now)
    assert [one.id for one in opened] == [f"A-00{number}" for number in range(1, 8)]
    assert (opened[0].reopened, opened[0].state) == (1, "open")
    assert (then.day - opened[1].raised_on).days == 410
    assert {one.id for one in opened if one.due < now.day} == {"A-001", "A-002", "A-005", "A-006"}


def test_private_answers_differed_until_one_was_adopted_and_those_of_the_session_to_come_are_hidden(
    seen: Callable[[str], Live],
) -> None:
    now = seen(TODAY).state()
    outsider = Person("facilitator F-1", frozenset({roles.FACILITATOR}))
    told, hidden = ("DIV3", "group:esv-301"), ("DIV9", "group:esv-301")
    assert {one.value for one in now.records.private[told]} == {"not-met", "partly"}
    assert now.stored[told].answer.value == "not-met", "given after the reveal: nothing is left to discuss"
    assert session.differing(now, [told, hidden]) == []
    held = redaction.seen(now, outsider).records.private
    assert [bool(one.value) for one in held[told]] == [True] * 3
    assert {(one.who, one.value, one.note) for one in held[hidden]} == {("", "", "")}
