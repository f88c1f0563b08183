"""Reading and writing plants, answers and everything else that a journal holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Connection, Select, bindparam, func, insert, select
from sqlalchemy.exc import DBAPIError, IntegrityError
from sqlalchemy.exc import TimeoutError as NoneFree

from checks.journal import hash_chain, migrations, schema
from checks.journal.append import Entry, append, as_event, new_journal
from checks.journal.conflicts import AnsweredMeanwhile, Overtaken
from checks.journal.errors import NoSuchPlant, StoreUnavailable
from checks.journal.event import DECLARED, Event
from checks.journal.hash_chain import Link
from checks.journal.stored import ANSWER, DATA, Stored, Version, as_stored, plant_of
from checks.journal.text_limits import fitting
from checks.plantfile import plant_file
from checks.plantfile.plant import Answer, Plant


def _latest() -> Select[tuple[int, int | None, int | None]]:
    plant, event = schema.plant.c, schema.event.c
    newest = select(func.max(event.seq)).where(event.plant_id == plant.id)
    return select(
        plant.events,
        newest.where(event.kind == DATA).scalar_subquery().label("data"),
        newest.where(event.kind == ANSWER).scalar_subquery().label("answers"),
    ).where(plant.id == bindparam("key"))


LATEST = _latest()
"""The query for the version of a plant, put together once: it is asked several times for every click."""


class Store:
    """One database of plants and their journals. Safe to share between threads."""

    def __init__(self, url: str | None = None) -> None:
        self.engine = schema.open_engine(schema.default_url() if url is None else url)
        with self._begin() as connection:
            ready = migrations.is_current(connection)
        if not ready:
            with self._begin(writes=True) as connection:
                migrations.bring_up(connection)

    @contextmanager
    def _begin(self, *, writes: bool = False) -> Iterator[Connection]:
        try:
            with schema.connect(self.engine, writes=writes) as connection, connection.begin():
                yield connection
        except IntegrityError:
            raise
        except DBAPIError as error:
            said = str(error.orig).strip().partition("\n")[0]
            raise StoreUnavailable(f"the database does not answer ({said})", self._do) from error
        except NoneFree as error:
            raise StoreUnavailable("too many ask the database at once", "try again in a moment") from error

    @property
    def _do(self) -> str:
        """What a person can do when the database does not answer."""
        if self.engine.dialect.name == "sqlite":
            return "check that its disk is there, writable and not full, then try again"
        return "check that its server runs, can be reached and has room on its disk, then try again"

    def plants(self) -> dict[int, str]:
        """Names of the plants in the store, in the order they came."""
        with self._begin() as connection:
            rows = connection.execute(select(schema.plant.c.id, schema.plant.c.name).order_by(schema.plant.c.id))
            return {row.id: row.name for row in rows}

    def version(self, key: int) -> Version:
        """What is latest for a plant: compare two of these to know whether anything changed."""
        with self._begin() as connection:
            row = connection.execute(LATEST, {"key": key}).one_or_none()
        if row is None:
            raise NoSuchPlant(key)
        return Version(row.data or 0, row.answers or 0, row.events)

    def plant(self, key: int) -> Plant:
        """The latest data of a plant, without answers."""
        held = self.events(key, after=self.version(key).data - 1, kinds=(DATA,))
        return plant_of(held[-1])

    def events(self, key: int, *, after: int = 0, kinds: Sequence[str] = (), slot: str | None = None) -> list[Event]:
        """Events of a plant's journal in their order: those after a number, of some kinds, of one slot."""
        event = schema.event.c
        query = select(schema.event, schema.plant.c.journal).join(schema.plant)
        query = query.where(event.plant_id == key, event.seq > after).order_by(event.seq)
        if kinds:
            query = query.where(event.kind.in_(kinds))
        if slot is not None:
            query = query.where(event.slot == slot)
        with self._begin() as connection:
            return [as_event(row, row.journal) for row in connection.execute(query)]

    def head(self, key: int, seq: int) -> str:
        """The hash after an event of a plant's journal; empty where there is no such event."""
        event = schema.event.c
        query = select(event.hash).where(event.plant_id == key, event.seq == seq)
        with self._begin() as connection:
            return str(connection.execute(query).scalar() or "")

    def record(self, key: int, *entries: Entry) -> list[Event]:
        """Append events, all or none; raises Overtaken when somebody else changed the slot of one of them since.

        Raises Refused where one holds text that cannot be stored.
        """
        fit = [fitting(one) for one in entries]
        try:
            with self._begin(writes=True) as connection:
                return append(connection, key, fit)
        except IntegrityError as error:
            for entry in entries:
                for theirs in self.events(key, slot=entry.slot) if entry.slot else ():
                    if theirs.follows == entry.follows:
                        raise Overtaken(theirs) from error
            raise

    def answers_after(self, key: int, last: int) -> list[Stored]:
        """Answers of a plant stored after number ``last``, oldest first."""
        return [as_stored(one) for one in self.events(key, after=last, kinds=(ANSWER,))]

    def save(
        self, key: int, answer: Answer, *, seen: int, writer: str, identity: str = DECLARED, at: str = ""
    ) -> Stored:
        """Append an answer.

        ``seen`` is the number of the answer to the same question of the same addressee that its author had on
        screen, 0 for none. Raises AnsweredMeanwhile when another one has come since.
        """
        try:
            slot = _slot(answer.question, answer.of)
            entry = Entry(ANSWER, answer.model_dump(), answer.by, slot, seen, writer, identity, at)
            return as_stored(self.record(key, entry)[0])
        except Overtaken as error:
            theirs = self.latest(key, answer.question, answer.of) or as_stored(error.theirs)
            raise AnsweredMeanwhile(theirs.answer) from error

    def latest(self, key: int, question: str, of: str) -> Stored | None:
        """The answer that holds for a question of exactly this addressee; None where there is none."""
        held = self.history(key, question, of)
        return held[-1] if held else None

    def history(self, key: int, question: str, of: str) -> list[Stored]:
        """Every answer ever given to a question of exactly this addressee, oldest first."""
        return [as_stored(one) for one in self.events(key, slot=_slot(question, of))]

    def import_plant(self, plant: Plant, *, by: str, writer: str, identity: str = DECLARED, at: str = "") -> int:
        """Store the data of a plant, and of its answers those that say something new; returns its number.

        A plant of the same name gets new data; its answers stay, and later ones are appended on top. All or nothing.
        """
        body = {"text": plant_file.to_text(plant.model_copy(update={"answers": []}))}
        with self._begin(writes=True) as connection:
            key = _named(connection, plant.plant.name)
            present, last_data = _present(connection, key)
            told: list[tuple[str, str, Mapping[str, Any], int]] = [(DATA, DATA, body, last_data)]
            for one in plant.answers:
                held = present.get((one.question, one.of))
                if held is None or held.answer != one:
                    slot = _slot(one.question, one.of)
                    told.append((ANSWER, slot, one.model_dump(), held.id if held else 0))
            entries = [
                fitting(Entry(kind, what, by, slot, seen, writer, identity, at)) for kind, slot, what, seen in told
            ]
            append(connection, key, entries)
        return key

    def take_over(self, other: Store, key: int) -> int:
        """Take over the journal of a plant from another store, event by event and hash by hash; all or nothing.

        Returns its number here. A plant of the same name that is here already stays as it is.
        """
        of, event = schema.plant.c, schema.event
        with other._begin() as connection:
            query = select(of.name, of.journal, of.events, of.head).where(of.id == key)
            plant = dict(connection.execute(query).mappings().one())
            rows = connection.execute(select(event).where(event.c.plant_id == key).order_by(event.c.seq)).mappings()
            events = [dict(one) for one in rows]
        with self._begin(writes=True) as connection:
            held = connection.execute(select(of.id).where(of.name == plant["name"])).scalar()
            if held is not None:
                return int(held)
            new = int(connection.execute(insert(schema.plant).values(plant).returning(of.id)).scalar_one())
            connection.execute(insert(event), [{**one, "plant_id": new} for one in events])
        return new

    def verify(self, key: int) -> tuple[int, str]:
        """Follow the journal of a plant from its first event; returns its number of events and its last hash.

        Raises journal.ChainBroken at the first event that does not fit.
        """
        plant, event = schema.plant.c, schema.event.c
        with self._begin() as connection:
            told = connection.execute(select(plant.journal, plant.events, plant.head).where(plant.id == key)).one()
            query = select(schema.event).where(event.plant_id == key).order_by(event.seq)
            rows = connection.execution_options(yield_per=1000).execute(query)
            count, head = hash_chain.check(_links(rows, told.journal), journal=told.journal)
        if (count, head) != (told.events, told.head):
            lost = min(count, told.events) + 1
            raise hash_chain.ChainBroken(lost, f"the journal has {count} events and was closed with {told.events}")
        return count, head


def _links(rows: Iterable[Any], name: str) -> Iterator[Link]:
    for row in rows:
        event = as_event(row, name)
        yield Link(row.seq, event, event.digest(), row.hash)


def _named(connection: Connection, name: str) -> int:
    """Number of the plant of this name, made where there is none; its journal is locked for this transaction."""
    query = select(schema.plant.c.id).where(schema.plant.c.name == name).with_for_update()
    held = connection.execute(query).scalar()
    if held is None:
        fresh = {"name": name, "journal": new_journal(), "events": 0, "head": hash_chain.START}
        try:
            with connection.begin_nested():
                made = connection.execute(insert(schema.plant).values(fresh).returning(schema.plant.c.id))
                return int(made.scalar_one())
        except IntegrityError:  # somebody else made it a moment ago
            held = connection.execute(query).scalar_one()
    return int(held)


def _slot(question: str, of: str) -> str:
    return f"{ANSWER} {of} {question}"


def _present(connection: Connection, key: int) -> tuple[dict[tuple[str, str], Stored], int]:
    """The answers that hold, and the number of the latest plant data."""
    event = schema.event.c
    query = select(schema.event).where(event.plant_id == key, event.kind.in_((ANSWER, DATA))).order_by(event.seq)
    held: dict[tuple[str, str], Stored] = {}
    last_data = 0
    for row in connection.execute(query):
        if row.kind == DATA:
            last_data = row.seq
            continue
        one = as_stored(as_event(row, ""))
        held[one.answer.question, one.answer.of] = one
    return held, last_data
