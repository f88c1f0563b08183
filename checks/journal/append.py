"""Appending to a journal: the only place that gives an event its number and its hash."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from operator import attrgetter
from secrets import token_hex
from typing import Any

from sqlalchemy import Connection, insert, select, update

from checks.journal import schema
from checks.journal.errors import NoSuchPlant
from checks.journal.event import DECLARED, FIELDS, Event
from checks.journal.hash_chain import ChainBroken, Link, chained, links
from checks.text.canonical import canonical


@dataclass(frozen=True, slots=True)
class Entry:
    """An event to append. ``slot`` names what it changes, ``follows`` the latest event of that slot its author had seen.

    ``at`` is UTC; without it the clock of this machine gives the time.
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
    """A unique journal name, so that no event fits into another journal."""
    return token_hex(16)


def now() -> str:
    """The present time, UTC, by the clock of this machine."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def numbered(entry: Entry, journal: str, seq: int, at: str) -> Event:
    """The event that an entry becomes as number ``seq`` of a journal; ``at`` is its time where the entry has none."""
    body, salt = canonical(entry.body).decode(), token_hex(8)
    return Event(
        journal,
        seq,
        entry.kind,
        entry.slot,
        entry.follows,
        entry.at or at,
        entry.by,
        entry.identity,
        entry.writer,
        salt,
        body,
    )


def append(connection: Connection, key: int, entries: Sequence[Entry]) -> list[Event]:
    """Append events to the journal of a plant, within the transaction of the caller; returns them.

    Raises NoSuchPlant, and IntegrityError where the event that one of them follows already has a successor.
    """
    plant = schema.plant.c
    query = select(plant.journal, plant.events, plant.head).where(plant.id == key).with_for_update()
    row = connection.execute(query).one_or_none()
    if row is None:
        raise NoSuchPlant(key)
    at, head = now(), row.head
    events, rows = [], []
    for seq, entry in enumerate(entries, start=row.events + 1):
        event = numbered(entry, row.journal, seq, at)
        head = chained(head, event.digest())
        events.append(event)
        rows.append(as_row(event, key, head))
    if rows:
        connection.execute(insert(schema.event), rows)
        connection.execute(update(schema.plant).where(plant.id == key).values(events=events[-1].seq, head=head))
    return events


def later_links(connection: Connection, key: int, chain: Sequence[Link]) -> list[Link]:
    """Links of a journal after those of ``chain``, which has at least one; locks the journal for this transaction.

    Raises NoSuchPlant, and ChainBroken where they do not lead to the last hash of the journal.
    """
    plant, event = schema.plant.c, schema.event.c
    closed = connection.execute(
        select(plant.journal, plant.head).where(plant.id == key).with_for_update()
    ).one_or_none()
    if closed is None:
        raise NoSuchPlant(key)
    query = select(schema.event).where(event.plant_id == key, event.seq > chain[-1].seq).order_by(event.seq)
    later = list(links((as_event(row, closed.journal) for row in connection.execute(query)), previous=chain[-1].hash))
    if [*chain, *later][-1].hash != closed.head:
        raise ChainBroken(chain[-1].seq + 1, "it was changed, or does not follow the event before it")
    return later


COLUMNS = (*FIELDS, "body")
_COLUMNS_OF = attrgetter(*COLUMNS)


def as_row(event: Event, key: int, after: str) -> dict[str, Any]:
    """An event as a row of the table."""
    return {"plant_id": key, "hash": after, **{name: getattr(event, name) for name in COLUMNS}}


def as_event(row: Any, journal: str) -> Event:
    """A row of the table as an event."""
    return Event(journal, *_COLUMNS_OF(row))
