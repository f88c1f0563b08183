"""The only way to record a person's activity as an event of the journal."""

from __future__ import annotations

from checks.access import name_entry
from checks.access.roles import Person
from checks.journal.append import Entry
from checks.journal.event import Event
from checks.journal.event_body import EventBody
from checks.recording.text_bounds import length_faults
from checks.state.live import Live
from checks.text.faults import Refused


def record(live: Live, person: Person, body: EventBody, *, slot: str | None = None, follows: int = 0) -> Event:
    """Append one event of a person.

    Raises NotAllowed if no role of the person permits this kind of event, NoName where they gave no name, Refused for a text
    that cannot be stored or is too long and for a name that misleads, and Overtaken when somebody else changed the same slot after event ``follows``.
    """
    return live.store.record(live.key, entry(live, person, body, slot=slot, follows=follows))[0]


def entry(live: Live, person: Person, body: EventBody, *, slot: str | None = None, follows: int = 0) -> Entry:
    """An entry to append together with others; raises NotAllowed, NoName and Refused."""
    if body.PERMISSION:
        person.require(body.PERMISSION)
    person.require_name()
    return entry_at(live.clock().isoformat(timespec="milliseconds"), person, body, slot=slot, follows=follows)


def entry_at(at: str, person: Person, body: EventBody, *, slot: str | None = None, follows: int = 0) -> Entry:
    """An entry without a permission check, which is the caller's. ``at`` is the time, UTC; empty for the time of recording.

    Raises Refused for a text that is too long and for a name that misleads: everything recorded passes here.
    """
    data = body.data()
    faults = name_entry.all_faults([("by", person.name), *body.entered_names()])
    faults += length_faults(body, data)
    if faults:
        raise Refused(body.KIND, faults)
    return Entry(body.KIND, data, person.name, slot, follows, person.writer, person.identity, at)
