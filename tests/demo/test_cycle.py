"""The demo goes through a whole cycle without a dead end: void, confirmed, checked, submitted, signed, assessed again, changed."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest

from checks.access.roles import ASSESSOR, FACILITATOR, MEMBER, OWNER, REVIEWER, Person
from checks.journal.store import Store
from checks.reassessment import change_records, confirmations, data_checks, rounds
from checks.reassessment.reopening import Change
from checks.record_files import exports, record_file, verification
from checks.recording import answering
from checks.signoff import accepted_gaps, open_points, revisions, sign_off, signatures
from checks.signoff.sign_off import NotSigned
from checks.state import plant_data_waiting
from checks.state.live import Live
from checks.state.revision_status import REVIEWED, SIGNED, VOID
from demo import replay
from tests.checks.team import full_terms

LEADS = Person("facilitator F-1", frozenset({FACILITATOR}))
ANSWERS = Person("functional-safety engineer FS-1", frozenset({MEMBER}))
OWNS = Person("asset owner AO-1", frozenset({OWNER}))
SIGNERS = {
    "safety": (Person("independent assessor IA-1", frozenset({ASSESSOR})), "independent-assessor"),
    "security": (Person("security reviewer SR-2", frozenset({REVIEWER})), "security-reviewer"),
}
SYSTEM = "S30"


def words(live: Live) -> str:
    return revisions.system_standing(live.state(), SYSTEM).words


def settle(live: Live) -> None:
    """Confirm every waiting answer topic by topic, and check the plant data."""
    while waiting := confirmations.topics_waiting(live.state(), SYSTEM):
        topic, answers = next(iter(waiting.items()))
        confirmations.confirm_answers(live, ANSWERS, answers[: confirmations.MOST_AT_ONCE], topic=topic)
    if places := list(plant_data_waiting.of_system(live.state(), SYSTEM)):
        data_checks.confirm_data(live, ANSWERS, places, system=SYSTEM, how="data sheets of the new solenoids")


def give_evidence(live: Live) -> None:
    """Answer again what scores with evidence that ended or says nothing."""
    for (question, of), stored in list(live.state().stored.items()):
        state, answer = live.state(), stored.answer
        if answer.claimed and (state.ended((question, of)) or len(answer.evidence.split()) < 2):
            fields = {**answer.model_dump(), "evidence": "walk-down of 2026-11-28", "by": ANSWERS.name}
            answering.record(live, ANSWERS, fields, seen=state.stored[question, of].id)


def sign(live: Live) -> None:
    """Submit, accept what gaps are left, and sign both halves."""
    revisions.submit(live, LEADS, SYSTEM)
    revision = live.state().records.revisions[SYSTEM][-1]
    fixed = revisions.fixed_body(live, revision)
    state = live.state()
    left = [
        (SYSTEM, zone, name)
        for zone, name, value in open_points.open_gaps(fixed)
        if not state.records.stays(SYSTEM, zone, name, value, state.day)
    ]
    if left:
        accepted_gaps.accept_gaps(live, OWNS, left, reason="closed at the turnaround of 2028", until="2028-06-30")
    for half, (person, key) in SIGNERS.items():
        private = signatures.unlock((replay.KEYS / f"{key}.pem").read_bytes(), replay.PASSPHRASE)
        terms = full_terms(live, revision, half, person.name)
        sign_off.sign(live, person, revision, private, half=half, terms=terms)


def test_the_demo_goes_through_a_whole_cycle_without_a_dead_end(copied: Store) -> None:
    clock = datetime.combine(date(2026, 11, 28), time(9), UTC)
    live = Live(copied, 1, clock=lambda: clock)
    assert words(live) == VOID
    with pytest.raises(NotSigned):  # nothing is signed before the team has looked at what the change reopened
        sign(live)
    settle(live)
    give_evidence(live)
    sign(live)
    assert words(live) == SIGNED
    rounds.begin_assessment(live, LEADS, SYSTEM)
    settle(live)
    sign(live)
    assert words(live) == SIGNED
    change = Change("proof-test", frozenset({"group:esv-301"}))
    entry = change_records.record_change(
        live, ANSWERS, change, reference="MOC-26-031", on="2026-11-28", what="tested every second year"
    )
    assert words(live) == VOID
    change_records.take_back(live, ANSWERS, entry.seq)
    assert words(live) == SIGNED
    record = record_file.from_text("record", exports.export(live, OWNS, live.state().records.revisions[SYSTEM][-1]))
    lines = list(verification.verify(record))
    assert any(line.startswith("safety half: signed by independent assessor IA-1") for line in lines)
    assert any(line.startswith("security half: signed by security reviewer SR-2") for line in lines)
    assert words(live) != REVIEWED
