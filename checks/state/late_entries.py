"""Entries that look backdated: recorded after a signature but dated before it, and times that run backwards."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator
from datetime import datetime, timedelta

from checks.events.answering import evidence
from checks.events.plant import attendance
from checks.events.signoff import signature
from checks.journal.event import Event

KINDS = (attendance.Body.KIND, evidence.Body.KIND, signature.Body.KIND)
"""Kinds of event that ``after_signature`` needs."""
CLOCKS_DIFFER = timedelta(minutes=1)
"""How much the clocks of two machines that write to one journal may differ (house rule)."""


def after_signature(events: Iterable[Event], system: str, addressees: Container[str] | None = None) -> Iterator[str]:
    """Attendance and evidence recorded after a signature of a system but dated before it, one sentence each.

    ``events`` are in the order of the journal. Evidence counts for an answer of the ``addressees``, without them any: a
    record shows only what concerns its system.
    """
    signed: list[tuple[str, str]] = []
    for event in events:
        if event.kind == signature.Body.KIND:
            body = signature.Body.read(event)
            if body.system == system:
                signed.append((f"the {body.half} half of revision {body.number}", event.at[:10]))
            continue
        what, dated = _dated(event, system, addressees)
        before = [(half, day) for half, day in signed if dated and dated <= day]
        if before:
            half, day = before[-1]
            yield (
                f"event {event.seq}: {what}, dated {dated}, was recorded on {event.at[:10]}, after {half} was signed on {day}"
            )


def _moment(event: Event) -> datetime:
    return datetime.fromisoformat(event.at)


def _dated(event: Event, system: str, addressees: Container[str] | None) -> tuple[str, str]:
    """What an event records, and the day it gives; an empty day where it is neither attendance nor evidence of the system."""
    if event.kind == attendance.Body.KIND:
        present = attendance.Body.read(event)
        names = ", ".join(attendee.name for attendee in present.people)
        return f"attendance of {names}", present.on if present.system == system else ""
    if event.kind == evidence.Body.KIND:
        piece = evidence.Body.read(event)
        concerns = addressees is None or piece.of in addressees
        return f"evidence {piece.identifier} for {piece.question} of {piece.of}", piece.dated if concerns else ""
    return "", ""


def backwards(events: Iterable[Event]) -> Iterator[str]:
    """Events whose time lies before that of the one before them by more than clocks differ, one sentence each."""
    before: Event | None = None
    for event in events:
        if before is not None and _moment(event) < _moment(before) - CLOCKS_DIFFER:
            yield f"event {event.seq}: its time, {event.at}, lies before that of event {before.seq}, {before.at}"
        before = event
