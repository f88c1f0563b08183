"""Every kind of event of an earlier release is read as recorded, whatever fields were added to its body since."""

from __future__ import annotations

from pathlib import Path

import pytest

from checks.actions import recorded_actions
from checks.journal.store import Store
from checks.record_files.verification import verify_store
from checks.state.live import Live, State
from tests.golden.conftest import unpacked

KINDS = {
    "action", "answer", "attendance", "change", "confirmed", "dissent", "dissent-closed", "evidence",
    "evidence-withdrawn", "export", "failure", "gap-accepted", "interval", "key", "key-withdrawn", "plant-data",
    "private", "revealed", "revision", "round", "sent-back", "signature",
}  # fmt: skip
"""Kinds of event of release 2."""
SHOWN = ("SEP1", "group:pt-301")
BROAD = ("release_2", "release_3", "release_4")
"""In these releases a change concerned every system, and a condition could outlive the assessment interval."""

CONDITION_ENDS = {"release_5": "2027-02-26", "release_6": "2027-02-27"}
"""The end of the assessment interval, counted from the day on which the golden files of a release were written."""


@pytest.fixture
def store(release: Path, tmp_path: Path) -> Store:
    """The database of a release with every kind of event."""
    return Store(f"sqlite:///{unpacked(release / 'every_kind.sqlite3.gz', tmp_path)}")


@pytest.fixture
def state(store: Store) -> State:
    """The state of its plant."""
    return Live(store, 1).state()


def test_it_verifies_and_has_every_kind_of_event(store: Store) -> None:
    line, held = verify_store(store)
    assert "each fits the one before" in line
    assert "held by a signature up to event " in held
    assert {event.kind for event in store.events(1)} >= KINDS


def test_the_records_of_an_answer(state: State) -> None:
    records = state.records
    (evidence,) = records.evidence[SHOWN]
    assert (evidence.identifier, evidence.revision, evidence.dated, evidence.valid_until) == (
        "H-301",
        "4",
        "2025-02-03",
        "2029-12-31",
    )
    assert (evidence.kind, evidence.shows, evidence.strength, evidence.until_event) == (
        "document",
        "separate taps",
        3,
        "",
    )
    assert [evidence.identifier for _, evidence in records.withdrawn[SHOWN]] == ["H-302"]
    (settled,), (open_one,) = records.dissents[SHOWN], records.dissents["PRO1", "plant"]
    assert (settled.value, settled.who, settled.role) == ("not-met", "TM-2", "technician")
    assert (settled.reason, settled.settles, settled.closed) == ("one tray", "a photo", "photo 7")
    assert (open_one.reason, open_one.closed) == ("no procedure was shown", "")
    (revealed,), (hidden,) = records.private[SHOWN], records.private["ASM1", "system:S30"]
    assert (revealed.who, revealed.value, revealed.note, revealed.revealed > 0) == (
        "TM-1",
        "partly",
        "one bracket is shared",
        True,
    )
    assert (hidden.who, hidden.value, hidden.note, hidden.revealed) == ("TM-1", "not-met", "", 0)
    attendees = [(present.name, present.role, present.on) for present in records.attended["S30"]]
    assert attendees == [("TM-1", "engineer", "2025-03-04"), ("TM-2", "technician", "2025-03-04")]


def test_what_the_owner_did_and_the_actions(state: State) -> None:
    records = state.records
    gap = records.accepted["S30", "sis", "Z01"]
    assert (gap.reason, gap.until, gap.value) == ("locked and alarmed", "2030-01-01", "not-met")
    assert records.intervals == {"S30": 36}
    keys = {key.name: (key.roles, key.withdrawn, key.why) for key in records.keys.values()}
    assert keys == {
        "IA-1": (("independent assessor",), "", ""),
        "SR-1": (("security reviewer",), "2030-01-01", "the stick was lost"),
    }
    closed, raised = (recorded_actions.held(state)[name] for name in ("A-001", "A-002"))
    assert (closed.what, closed.owner, closed.due.isoformat()) == (
        "split the taps",
        "instrument engineer",
        "2030-01-01",
    )
    assert (closed.state, closed.evidence, closed.verifier) == ("closed", "walk-down 31", "technical authority")
    assert (raised.what, raised.system, raised.state) == ("write the procedure", "S30", "open")


def test_revisions_and_signatures(state: State, release: Path) -> None:
    returned, signed = state.records.revisions["S30"]
    assert [text for text, _ in returned.comments] == ["Which manifold?"]
    assert {half: (signature.conditions, signature.until) for half, signature in signed.signatures.items()} == {
        "safety": (("weekly comparison",), CONDITION_ENDS.get(release.name, "2030-01-01")),
        "security": ((), ""),
    }
    conditions = () if release.name in BROAD else ("A-003",)
    assert {signature.open_actions for signature in signed.signatures.values()} == {("A-002", *conditions)}
    assert state.records.complete(signed)
    assert signed.voided is not None
    assert signed.voided.what == "MOC-1: one batch for all"


def test_changes_failures_and_answers_to_confirm(state: State, release: Path) -> None:
    records = state.records
    change, *later = records.changes
    assert {one.body.reference for one in later} <= {"MOC-2"}, "MOC-3 was taken back"
    assert (change.body.kind, change.body.reference, change.body.on) == ("device-same-batch", "MOC-1", "2025-03-04")
    assert change.body.systems == (("S30", "S40") if release.name in BROAD else ("S30",))
    assert {("ASM1", "system:S30"), ("L05", "zone:field")} <= {answer.asked for answer in change.body.reopened}
    (failure,) = records.failures
    assert (failure.body.reference, failure.body.cause) == ("FR-1", "worn seal")
    assert failure.body.looked_at == "log-ins and downloads", "as it was completed"
    assert len(records.rounds["S30"]) == 1
    assert SHOWN in records.confirmed
    assert SHOWN not in records.to_confirm
    assert ("A01", "zone:sis") in records.to_confirm
