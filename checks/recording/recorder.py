"""How a deed of a person becomes an event."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checks.access.roles import Person
from checks.journal.append import Entry
from checks.journal.event import Event
from checks.state.live import Live


def record(
    live: Live, person: Person, kind: str, told: Mapping[str, Any], *, slot: str | None = None, follows: int = 0
) -> Event:
    """Append what a person did; raises Overtaken when somebody else changed the same slot since."""
    return live.store.record(live.key, entry(live, person, kind, told, slot=slot, follows=follows))[0]


def entry(
    live: Live, person: Person, kind: str, told: Mapping[str, Any], *, slot: str | None = None, follows: int = 0
) -> Entry:
    """What a person does now, to be appended."""
    at = live.clock().isoformat(timespec="milliseconds")
    return Entry(kind, told, person.name, slot, follows, person.writer, person.identity, at)
