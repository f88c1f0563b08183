"""Whether an entry of the journal is a person's own, as the one who may take it back."""

from __future__ import annotations

from checks.access.names import same
from checks.access.roles import Person
from checks.journal.event import Event
from checks.text.faults import Fault


def is_own(event: Event, person: Person) -> bool:
    """Whether a person recorded an event: in the same browser session, or under the same name and sign-in."""
    if event.writer == person.writer != "":
        return True
    return bool(person.name.strip()) and same(event.by, person.name) and event.identity == person.identity


def faults(event: Event, person: Person, instead: str) -> list[Fault]:
    """A fault where an event is not the person's own; ``instead`` says what they can do."""
    return [] if is_own(event, person) else [Fault(event.kind, f"recorded by {event.by or 'somebody else'}", instead)]
