"""Replay of events where changes of others come between the reading of a revision's facts and its event."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from itertools import count

from checks.journal.event import DECLARED, Event
from checks.state.replay import Fold
from checks.state.revision_status import Cause, Revision
from checks.text.canonical import canonical
from tests.checks.team import Team

KEPT = 10_000
"""Number of recent changes kept (house rule)."""
OWN, FOREIGN = "group:pt-301", "group:lt-501"
"""A group of S30, and one that S30 does not depend on."""


def answered(seq: int, of: str, value: str) -> Event:
    """The event of an answer to the same question."""
    content = {"question": "SEP1", "of": of, "value": value, "evidence": "", "note": "", "by": "TM-1", "on": ""}
    body = canonical(content).decode()
    return Event("f0" * 16, seq, "answer", None, 0, "2025-03-04T10:00:00", "TM-1", DECLARED, "w", "5a", body)


def foreign(begin: int, number: int) -> Iterator[Event]:
    """Changes in sequence that do not concern S30; ``number`` of them."""
    for seq, turn in zip(count(begin), range(number), strict=False):
        yield answered(seq, FOREIGN, ("met", "partly")[turn % 2])


def overtaken(team: Team, later: int) -> Revision:
    """The revision of S30 whose facts were read before one change of S30 and this many of others."""
    team.put_up()
    *read, fixed = team.store.events(1)
    fold = Fold()
    for event in (*read, answered(fixed.seq, OWN, "partly"), *foreign(fixed.seq + 1, later), fixed):
        fold.add(event)
    revision = fold.records().latest("S30")
    assert revision is not None
    return revision


def test_a_revision_is_void_though_ten_thousand_changes_came_between_reading_and_fixing(team: Team) -> None:
    cause = overtaken(team, KEPT - 1).voided
    assert cause is not None
    assert cause.what == f"SEP1 of {OWN} was answered partly"


def test_changes_that_do_not_concern_a_system_leave_its_revision_standing(team: Team) -> None:
    team.put_up()
    *read, fixed = team.store.events(1)
    fold = Fold()
    for event in (*read, *foreign(fixed.seq, 100), fixed):
        fold.add(event)
    revision = fold.records().latest("S30")
    assert revision is not None
    assert revision.voided is None


def test_no_more_than_ten_thousand_changes_are_kept_in_mind(team: Team) -> None:
    fold = Fold()
    for event in (*team.store.events(1), *foreign(1_000, KEPT)):
        fold.add(event)
    before = _causes()
    assert before >= KEPT
    for event in foreign(1_000 + KEPT, 500):
        fold.add(event)
    assert _causes() - before < 50


def _causes() -> int:
    """Number of causes in memory."""
    gc.collect()
    return sum(type(item) is Cause for item in gc.get_objects())
