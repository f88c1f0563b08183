"""The one way from what a person does to an event of the journal."""

from __future__ import annotations

from checks.access.roles import Person
from checks.journal.append import Entry
from checks.journal.event import Event
from checks.journal.event_body import EventBody
from checks.state.live import Live


def record(live: Live, person: Person, body: EventBody, *, slot: str | None = None, follows: int = 0) -> Event:
    """Append what a person did.

    Raises NotAllowed where no role of the person covers this kind of event, Refused for text that cannot be stored, and
    Overtaken when somebody else changed the same slot after event ``follows``.
    """
    return live.store.record(live.key, entry(live, person, body, slot=slot, follows=follows))[0]


def entry(live: Live, person: Person, body: EventBody, *, slot: str | None = None, follows: int = 0) -> Entry:
    """What a person does, to be appended with others in one go; raises NotAllowed."""
    if body.PERMISSION:
        person.must(body.PERMISSION)
    return entry_at(live.clock().isoformat(timespec="milliseconds"), person, body, slot=slot, follows=follows)


def entry_at(at: str, person: Person, body: EventBody, *, slot: str | None = None, follows: int = 0) -> Entry:
    """What a person may do, as the caller has found, at a moment, UTC; an empty one is that of the recording."""
    return Entry(body.KIND, body.data(), person.name, slot, follows, person.writer, person.identity, at)
