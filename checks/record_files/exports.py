"""Handing a record out: one revision with its journal as one file. Each export is itself an event."""

from __future__ import annotations

from checks.access.roles import Person
from checks.events.signoff import export as handed_on
from checks.journal.errors import NoSuchPlant
from checks.journal.event import Event
from checks.journal.store import Store
from checks.record_files import record_file
from checks.recording import recorder
from checks.state.entries import Revision
from checks.state.live import Live

RECORDS = "export a record"
"""Who may hand out a record: an entry of ``roles.MAY``."""


class NoRevision(LookupError):
    """A revision that is not there."""

    def __init__(self, system: str, number: int | None, held: int) -> None:
        if held:
            which = f"revision {number} of {system} is not there; it has 0 to {held - 1}"
        else:
            which = f"{system} was never submitted for review, so there is no revision to export"
        super().__init__(which)


def plant_with(store: Store, system: str, plant: str | None = None) -> Live:
    """The plant that has a safety system; raises NoSuchPlant where none has it or several have."""
    found = []
    for key, name in store.plants().items():
        if plant is None or name == plant:
            live = Live(store, key)
            if system in live.state().plant.systems or system in live.state().records.revisions:
                found.append(live)
    if len(found) != 1:
        named = f"plant {plant!r} with system {system}" if plant else f"a plant with system {system}"
        raise NoSuchPlant(named if not found else f"one single plant with system {system} (name it with --plant)")
    return found[0]


def revision_of(live: Live, system: str, number: int | None = None) -> Revision:
    """A revision of a system, the latest where no number is given; raises NoRevision."""
    held = live.state().records.revisions.get(system, ())
    if number is None and held:
        return held[-1]
    for one in held:
        if one.number == number:
            return one
    raise NoRevision(system, number, len(held))


def handed_out(live: Live, person: Person, what: str, *, needs: str) -> Event:
    """Keep in the journal that something else than a record was handed out; ``needs`` is a deed of roles.MAY.

    Raises NotAllowed.
    """
    person.must(needs)
    return recorder.record(live, person, handed_on.Body(what=what))


def export(live: Live, person: Person, revision: Revision, *, what: str = "record") -> str:
    """Text of the record file of a revision; the export stands in the journal that it holds, as its last event.

    ``what`` says in the journal what it is made into, such as the security annex for a reader.

    That event says how many events are shown, so that none can be sealed afterwards. Raises NotAllowed, and
    ChainBroken for a journal that somebody has touched: a record of it would hide that.
    """
    person.must(RECORDS)
    live.store.verify(live.key)
    events = live.store.events(live.key)
    fixed = next(event for event in events if event.seq == revision.cause.seq)
    body = handed_on.Body(
        what=what,
        system=revision.system,
        number=revision.number,
        events=len(events),
        shown=len(record_file.shown(events, fixed)),
    )
    exported = recorder.record(live, person, body)
    events = [event for event in live.store.events(live.key) if event.seq <= exported.seq]
    head = {"at": exported.at, "by": person.name, "identity": person.identity}
    return "\n".join(record_file.text(events, fixed, head)) + "\n"
