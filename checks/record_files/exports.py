"""Export of a record: one revision with its journal as one file. Each export is itself an event."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.access.roles import MAY, TEAM, Person
from checks.events.signoff import export as export_event
from checks.journal import hash_chain
from checks.journal.append import Entry, now, numbered
from checks.journal.errors import NoSuchPlant
from checks.journal.event import Event
from checks.journal.hash_chain import Link
from checks.journal.store import Store
from checks.record_files import export_signatures, record_file, record_text, verification
from checks.record_files.record_file import Record
from checks.recording import recorder
from checks.state.live import Live, State
from checks.state.revision_status import Revision
from checks.text.faults import Fault, Refused
from checks.visibility import blind_round

ATTEMPTS = 3
"""How often papers and record are made again where somebody stores meanwhile."""
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


def hidden_answers(state: State, person: Person, system: str) -> list[Fault]:
    """Why a person cannot have a record of a system: a blind round hides answers from them that every revision shows."""
    if not blind_round.hides(state, person):
        return []
    known = system in state.plant.systems
    hidden = blind_round.questions_to_answer(state, system) if known else list(state.records.to_answer_again)
    if not hidden:
        return []
    count = (
        f"a blind round hides {len(hidden)} answer{'' if len(hidden) == 1 else 's'} from you, and a revision shows them"
    )
    may = " or ".join(role for role in MAY[RECORDS] if role not in TEAM)
    return [Fault(system, count, f"export once they are answered again; until then by the {may}, who do not answer")]


def require_nothing_hidden(state: State, person: Person, system: str) -> None:
    """Raise Refused where a blind round hides answers of a system from a person, in whatever other role they act."""
    if faults := hidden_answers(state, person, system):
        raise Refused("export", faults)


def export(
    live: Live,
    person: Person,
    revision: Revision,
    *,
    keep: Callable[[str], object] = str,
    private: Ed25519PrivateKey | None = None,
) -> str:
    """Text of the record file of a revision; the last event of its journal is the export itself.

    The export event states how many events are before it and how many are shown, so that none can be sealed afterwards;
    the journal is locked meanwhile. ``keep`` gets the text before the event is stored: where it raises, nothing is
    recorded. With ``private``, an enrolled key, the export is signed. Raises NotAllowed, Refused for another key and for
    answers that a blind round hides from the person, and ChainBroken for a changed journal: a record file would hide the change.
    """
    person.require(RECORDS)
    require_nothing_hidden(live.state(), person, revision.system)
    draft = _Draft(live, person, revision, "record", private)
    _require_enrolled(live.state(), private)
    return live.store.record_after_all(live.key, draft.entry, lambda chain: draft.kept(chain, keep))


def _require_enrolled(state: State, private: Ed25519PrivateKey | None) -> None:
    if private is not None:
        export_signatures.enrolled(state.records, private, at=now(), seq=state.version.last + 1)


def may_sign(state: State, private: Ed25519PrivateKey) -> bool:
    """Whether a key is enrolled in a plant and not withdrawn, so that it may sign exports."""
    try:
        _require_enrolled(state, private)
    except Refused:
        return False
    return True


def preview(live: Live, person: Person, revision: Revision, what: str) -> Record:
    """The verified record that an export would give now, to print from; nothing is recorded.

    ``what`` names the print in the journal, such as the security annex for a recipient. Raises NotAllowed, Refused for
    answers that a blind round hides from the person, ChainBroken and Tampered.
    """
    person.require(RECORDS)
    require_nothing_hidden(live.state(), person, revision.system)
    draft = _Draft(live, person, revision, what)
    chain = live.store.chain(live.key)
    event = numbered(draft.entry(chain), draft.fixed.journal, len(chain) + 1, now())
    chain += hash_chain.links([event], previous=chain[-1].hash)
    return verification.verified(record_file.from_text("record", draft.text(chain)))


class Moved(RuntimeError):
    """Something was stored between the printing and the record: they would not be of one state."""

    def __init__(self) -> None:
        super().__init__(
            "others are storing just now, so that papers and record would differ: nothing was handed out, try again"
        )


def together(
    live: Live,
    person: Person,
    revision: Revision,
    what: str,
    print_all: Callable[[Record], dict[str, bytes]],
    private: Ed25519PrivateKey | None = None,
) -> dict[str, bytes]:
    """Papers and record of one state of the journal, by file name; one event hands them out.

    ``print_all`` prints the papers from the record. With ``private``, an enrolled key, the record is signed. Raises what
    ``export`` and ``preview`` raise, and Moved where others keep storing meanwhile.
    """
    _require_enrolled(live.state(), private)
    for _ in range(ATTEMPTS):
        record = preview(live, person, revision, what)
        papers = print_all(record)
        draft = _Draft(live, person, revision, what, private, before=record.made_from.seq)
        with suppress(Moved):
            text = live.store.record_after_all(live.key, draft.entry, draft.text)
            return {**papers, f"record-{revision.system}-{revision.number}.json": text.encode()}
    raise Moved


def handed_out_print(live: Live, person: Person, record: Record) -> Event:
    """Record that what was printed from a ``preview`` is handed out; its event says how many events it was made from."""
    person.require(RECORDS)
    require_nothing_hidden(live.state(), person, record.system)
    return recorder.record(live, person, export_event.Body.read(record.events[-1]))


class _Draft:
    """An export in the making: its event, and the text of the record file with it."""

    def __init__(
        self,
        live: Live,
        person: Person,
        revision: Revision,
        what: str,
        private: Ed25519PrivateKey | None = None,
        before: int | None = None,
    ) -> None:
        self._live, self._person, self._revision, self._what = live, person, revision, what
        self._private, self._before = private, before
        (self.fixed,) = live.store.events_numbered(live.key, [revision.cause.seq])
        self._opened = set[int]()

    def entry(self, chain: Sequence[Link]) -> Entry:
        """The export event after the whole journal; raises Moved where it has not the length ``before`` that is wanted."""
        if self._before not in (None, len(chain)):
            raise Moved
        self._opened = record_text.shown((link.event for link in chain if link.event is not None), self.fixed)
        body = export_event.Body(
            what=self._what,
            system=self._revision.system,
            number=self._revision.number,
            events=len(chain),
            shown=len(self._opened),
        )
        return recorder.entry(self._live, self._person, body)

    def text(self, chain: Sequence[Link]) -> str:
        """The record file of the journal that ends with the export event."""
        (exported,) = (link.event for link in chain[-1:] if link.event is not None)
        opened = self._opened | record_text.shown([exported], self.fixed)
        head = {"at": exported.at, "by": exported.by, "identity": exported.identity}
        return "\n".join(record_text.text(chain, opened, self.fixed, head, self._signature(chain))) + "\n"

    def _signature(self, chain: Sequence[Link]) -> dict[str, Any] | None:
        if self._private is None:
            return None
        return export_signatures.block(
            self._private,
            journal=self.fixed.journal,
            events=len(chain),
            head=chain[-1].hash,
            system=self._revision.system,
            number=self._revision.number,
        )

    def kept(self, chain: Sequence[Link], keep: Callable[[str], object]) -> str:
        """The text, after ``keep`` got it."""
        text = self.text(chain)
        keep(text)
        return text
