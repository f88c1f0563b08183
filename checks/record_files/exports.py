"""Export of a record: one revision with its journal as one file. Each export is itself an event."""

from __future__ import annotations

from checks.access.roles import Person
from checks.events.signoff import export as export_event
from checks.journal import hash_chain
from checks.journal.errors import NoSuchPlant
from checks.journal.event import Event
from checks.journal.store import Store
from checks.record_files import record_file
from checks.recording import recorder
from checks.state.live import Live
from checks.state.revision_status import Revision

RECORDS = "export a record"
"""The permission to export a record: a key of ``roles.MAY``."""


class NoRevision(LookupError):
    """The system has no such revision."""

    def __init__(self, system: str, number: int | None, count: int) -> None:
        if count:
            why = f"revision {number} of {system} is not there; it has 0 to {count - 1}"
        else:
            why = f"{system} was never submitted for review, so there is no revision to export"
        super().__init__(why)


def plant_with(store: Store, system: str, plant: str | None = None) -> Live:
    """The plant with a safety system; raises NoSuchPlant where none or several have it."""
    plants = []
    for key, name in store.plants().items():
        if plant is None or name == plant:
            live = Live(store, key)
            if system in live.state().plant.systems or system in live.state().records.revisions:
                plants.append(live)
    if len(plants) != 1:
        named = f"plant {plant!r} with system {system}" if plant else f"a plant with system {system}"
        raise NoSuchPlant(named if not plants else f"one single plant with system {system} (name it with --plant)")
    return plants[0]


def revision_of(live: Live, system: str, number: int | None = None) -> Revision:
    """A revision of a system, the latest without a number; raises NoRevision."""
    revisions = live.state().records.revisions.get(system, ())
    if number is None and revisions:
        return revisions[-1]
    for revision in revisions:
        if revision.number == number:
            return revision
    raise NoRevision(system, number, len(revisions))


def handed_out(live: Live, person: Person, what: str, *, needs: str) -> Event:
    """Record the export of something other than a record; ``needs`` is a permission of ``roles.MAY``.

    Raises NotAllowed.
    """
    person.require(needs)
    return recorder.record(live, person, export_event.Body(what=what))


def export(live: Live, person: Person, revision: Revision, *, what: str = "record") -> str:
    """Text of the record file of a revision; the last event of its journal is the export itself.

    ``what`` names the use in the journal, such as the security annex for a recipient.

    The export event states how many events are shown, so that none can be sealed afterwards. Raises NotAllowed, and
    ChainBroken for a changed journal: a record file would hide the change.
    """
    person.require(RECORDS)
    chain = live.store.chain(live.key)
    events = [link.event for link in chain if link.event is not None]
    fixed = next(event for event in events if event.seq == revision.cause.seq)
    opened = record_file.shown(events, fixed)
    body = export_event.Body(
        what=what,
        system=revision.system,
        number=revision.number,
        events=len(events),
        shown=len(opened),
    )
    exported = recorder.record(live, person, body)
    later = [event for event in live.store.events(live.key, after=len(events)) if event.seq <= exported.seq]
    chain += hash_chain.links(later, previous=chain[-1].hash)
    opened |= record_file.shown(later, fixed)
    head = {"at": exported.at, "by": person.name, "identity": person.identity}
    return "\n".join(record_file.text(chain, opened, fixed, head)) + "\n"
