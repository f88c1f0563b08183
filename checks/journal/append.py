"""Appending to a journal: the one place where an event gets its number and its hash."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from secrets import token_hex
from typing import Any

from sqlalchemy import Connection, insert, select, update

from checks.journal import schema
from checks.journal.errors import NoSuchPlant
from checks.journal.event import DECLARED, FIELDS, Event
from checks.journal.hash_chain import chained
from checks.text.canonical import canonical


@dataclass(frozen=True, slots=True)
class Entry:
    """What is to be appended. ``slot`` names what it changes, ``follows`` the event there that its author saw.

    ``at`` is UTC; without it the clock of this machine says when it was appended.
    """

    kind: str
    body: Mapping[str, Any]
    by: str
    slot: str | None = None
    follows: int = 0
    writer: str = ""
    identity: str = DECLARED
    at: str = ""


def new_journal() -> str:
    """A name that no other journal has, so that no event fits into another one."""
    return token_hex(16)


def now() -> str:
    """The time of this machine's clock, UTC."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def append(connection: Connection, key: int, entries: Sequence[Entry]) -> list[Event]:
    """Append events to the journal of a plant, in one transaction that the caller holds; returns them.

    Raises NoSuchPlant, and IntegrityError where another event follows the same one already.
    """
    held = schema.plant.c
    query = select(held.journal, held.events, held.head).where(held.id == key).with_for_update()
    row = connection.execute(query).one_or_none()
    if row is None:
        raise NoSuchPlant(key)
    at, head = now(), row.head
    events, rows = [], []
    for seq, one in enumerate(entries, start=row.events + 1):
        body = canonical(one.body).decode()
        salt = token_hex(8)
        happened = one.at or at
        event = Event(
            row.journal, seq, one.kind, one.slot, one.follows, happened, one.by, one.identity, one.writer, salt, body
        )
        head = chained(head, event.digest())
        events.append(event)
        rows.append(as_row(event, key, head))
    if rows:
        connection.execute(insert(schema.event), rows)
        connection.execute(update(schema.plant).where(held.id == key).values(events=events[-1].seq, head=head))
    return events


COLUMNS = (*FIELDS, "body")


def as_row(event: Event, key: int, after: str) -> dict[str, Any]:
    """An event as a row of the table."""
    return {"plant_id": key, "hash": after, **{name: getattr(event, name) for name in COLUMNS}}


def as_event(row: Any, journal: str) -> Event:
    """A row of the table as an event."""
    return Event(journal, *(getattr(row, name) for name in COLUMNS))
