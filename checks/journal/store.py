"""The database of plants and their journals: reading events, and the only way to write them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, Connection, insert, select, update
from sqlalchemy.exc import DBAPIError, IntegrityError
from sqlalchemy.exc import TimeoutError as NoneFree

from checks.journal import database_file, failures, hash_chain, migrations, queries, schema
from checks.journal.append import Entry, append, as_event, later_links, new_journal
from checks.journal.errors import NoSuchPlant, Overtaken, StoreUnavailable
from checks.journal.event import Event
from checks.journal.hash_chain import Link
from checks.journal.text_limits import fitting
from checks.text.faults import Fault, Refused

MOST_NUMBERS = 1000
"""Maximum event numbers in one query: databases limit its parameters."""
Used = TypeVar("Used")


@dataclass(frozen=True, slots=True)
class Version:
    """Event numbers of the latest plant data and of the latest event; both only increase."""

    data: int
    last: int


@dataclass(frozen=True, slots=True)
class Listed:
    """A plant in the list of plants.

    ``founder`` is the writer of its first event, ``at`` the time of its last one, ``latest`` the body of its latest event of
    the kind asked for, empty where it has none.
    """

    key: int
    name: str
    journal: str
    founder: str
    at: str
    latest: str


class Store:
    """One database of plants and their journals. Threads may share it.

    With ``create`` off it must be there already: neither file, folder nor table is created.
    """

    def __init__(self, url: str | None = None, *, create: bool = True) -> None:
        self.engine = schema.open_engine(schema.default_url() if url is None else url, create=create)
        try:
            self._make_ready(create=create)
        except StoreUnavailable:
            self.engine.dispose()  # takes the files with it that SQLite keeps beside an open database
            raise

    def _make_ready(self, *, create: bool) -> None:
        with self._begin() as connection:
            ready = migrations.is_ready(connection, create=create)
        if not ready:
            with self._begin(writes=True) as connection:
                migrations.bring_up(connection)

    @property
    def path(self) -> Path | None:
        """The file of a SQLite database; None for a server, and in memory."""
        url = self.engine.url
        return database_file.path_of(url) if url.get_backend_name() == "sqlite" and url.database else None

    @contextmanager
    def _begin(self, *, writes: bool = False) -> Iterator[Connection]:
        try:
            with schema.connect(self.engine, writes=writes) as connection, connection.begin():
                yield connection
        except IntegrityError:
            raise
        except DBAPIError as error:
            raise failures.unavailable(error, self.engine) from error
        except NoneFree as error:
            raise StoreUnavailable("too many requests to the database at once", "try again in a moment") from error

    def plants(self) -> dict[int, str]:
        """Names of the plants in the store, oldest first."""
        with self._begin() as connection:
            rows = connection.execute(select(schema.plant.c.id, schema.plant.c.name).order_by(schema.plant.c.id))
            return {row.id: row.name for row in rows}

    def listed(self, kind: str) -> list[Listed]:
        """The plants in the store, oldest first, each with its latest event of a kind."""
        with self._begin() as connection:
            rows = connection.execute(queries.LIST, {"kind": kind})
            return [
                Listed(row.id, row.name, row.journal, row.founder or "", row.at or "", row.latest or "") for row in rows
            ]

    def version(self, key: int) -> Version:
        """The version of a plant; two different versions mean a change. Raises NoSuchPlant."""
        with self._begin() as connection:
            row = connection.execute(queries.LATEST, {"key": key}).one_or_none()
        if row is None:
            raise NoSuchPlant(key)
        return Version(row.data or 0, row.events)

    def events(self, key: int, *, after: int = 0, kinds: Sequence[str] = (), slot: str | None = None) -> list[Event]:
        """Events of a plant's journal in order; only those after a number, of some kinds, of one slot where given."""
        event = schema.event.c
        conditions = [event.seq > after]
        if kinds:
            conditions.append(event.kind.in_(kinds))
        if slot is not None:
            conditions.append(event.slot == slot)
        return self._selected(key, *conditions)

    def events_between(self, key: int, since: str, until: str) -> list[Event]:
        """Events of a plant's journal recorded at or after ``since`` and before ``until`` (UTC, ISO form), in order."""
        event = schema.event.c
        return self._selected(key, event.at >= since, event.at < until)

    def events_numbered(self, key: int, numbers: Iterable[int]) -> list[Event]:
        """Events of a plant's journal with these numbers, in order."""
        wanted = sorted(set(numbers))
        parts = (wanted[start : start + MOST_NUMBERS] for start in range(0, len(wanted), MOST_NUMBERS))
        return [event for part in parts for event in self._selected(key, schema.event.c.seq.in_(part))]

    def _selected(self, key: int, *conditions: ColumnElement[bool]) -> list[Event]:
        query = select(schema.event, schema.plant.c.journal).join(schema.plant)
        query = query.where(schema.event.c.plant_id == key, *conditions).order_by(schema.event.c.seq)
        with self._begin() as connection:
            return [as_event(row, row.journal) for row in connection.execute(query)]

    def head(self, key: int, seq: int) -> str:
        """The hash after an event of a plant's journal; empty where it has no such event."""
        event = schema.event.c
        query = select(event.hash).where(event.plant_id == key, event.seq == seq)
        with self._begin() as connection:
            return str(connection.execute(query).scalar() or "")

    def record(self, key: int, *entries: Entry) -> list[Event]:
        """Append events, all or none; returns them.

        Raises Overtaken where somebody else changed the slot of one of them since, Refused for text that cannot be stored.
        """
        fit = [fitting(entry) for entry in entries]
        try:
            with self._begin(writes=True) as connection:
                return append(connection, key, fit)
        except IntegrityError as error:
            self._raise_overtaken(key, entries, error)
            raise

    def record_after_all(
        self, key: int, entry: Callable[[list[Link]], Entry], use: Callable[[list[Link]], Used]
    ) -> Used:
        """Append the event that ``entry`` makes of the whole journal before it; returns what ``use`` makes of both.

        The journal is locked meanwhile, so no event comes in between. Where ``use`` raises, nothing is appended. Raises
        ChainBroken for a changed journal, NoSuchPlant, and Refused for text that cannot be stored.
        """
        chain = self.chain(key)  # the long part, before the lock
        with self._begin(writes=True) as connection:
            chain += later_links(connection, key, chain)
            (event,) = append(connection, key, [fitting(entry(chain))])
            chain += hash_chain.links([event], previous=chain[-1].hash)
            return use(chain)

    def _raise_overtaken(self, key: int, entries: Sequence[Entry], error: IntegrityError) -> None:
        """Raise Overtaken where somebody else's event holds the place of one of these entries."""
        for entry in entries:
            for theirs in self.events(key, slot=entry.slot) if entry.slot else ():
                if theirs.follows == entry.follows:
                    raise Overtaken(theirs) from error

    def rename(self, key: int, name: str, entry: Entry) -> Event:
        """Append the plant data with a new name of the plant, and list the plant under it; returns the event.

        Raises Refused for a name that another plant has, and what ``record`` raises.
        """
        of, fit = schema.plant.c, fitting(entry)
        try:
            with self._begin(writes=True) as connection:
                if connection.execute(select(of.id).where(of.name == name, of.id != key)).first() is not None:
                    raise Refused("plant", [Fault("name", f"{name!r} is the name of another plant", "choose another")])
                (event,) = append(connection, key, [fit])
                connection.execute(update(schema.plant).where(of.id == key).values(name=name))
                return event
        except IntegrityError as error:
            self._raise_overtaken(key, [entry], error)
            raise

    def record_by_name(self, name: str, kinds: Sequence[str], entries: Callable[[list[Event]], Sequence[Entry]]) -> int:
        """Append the result of ``entries``, called with the events of some kinds, to the journal of a plant; returns its number.

        A new name creates a plant. The journal is locked meanwhile, so no event comes in between. All or none; raises
        Refused for text that cannot be stored.
        """
        with self._begin(writes=True) as connection:
            key, journal = _plant_named(connection, name)
            event = schema.event.c
            query = select(schema.event).where(event.plant_id == key, event.kind.in_(kinds)).order_by(event.seq)
            events = [as_event(row, journal) for row in connection.execute(query)]
            append(connection, key, [fitting(entry) for entry in entries(events)])
        return key

    def take_over(self, other: Store, key: int) -> int:
        """Copy the journal of a plant from another store with all events and hashes, all or none.

        Returns its number in this store. An existing plant of the same name stays unchanged.
        """
        of, event = schema.plant.c, schema.event
        with other._begin() as connection:
            query = select(of.name, of.journal, of.events, of.head).where(of.id == key)
            plant = dict(connection.execute(query).mappings().one())
            rows = connection.execute(select(event).where(event.c.plant_id == key).order_by(event.c.seq)).mappings()
            events = [dict(row) for row in rows]
        with self._begin(writes=True) as connection:
            present = connection.execute(select(of.id).where(of.name == plant["name"])).scalar()
            if present is not None:
                return int(present)
            new = int(connection.execute(insert(schema.plant).values(plant).returning(of.id)).scalar_one())
            connection.execute(insert(event), [{**row, "plant_id": new} for row in events])
        return new

    def verify(self, key: int) -> tuple[int, str]:
        """Check the journal of a plant from its first event; returns the number of events and the last hash.

        Raises ChainBroken at the first event that does not fit.
        """
        return self._checked(key, lambda _: None)

    def chain(self, key: int) -> list[Link]:
        """The journal of a plant with its digests and hashes, checked as ``verify`` does. Raises ChainBroken."""
        links: list[Link] = []
        self._checked(key, links.append)
        return links

    def _checked(self, key: int, keep: Callable[[Link], None]) -> tuple[int, str]:
        """Check a journal and hand each link to ``keep``; returns the number of events and the last hash."""
        plant, event = schema.plant.c, schema.event.c
        with self._begin() as connection:
            closed = connection.execute(
                select(plant.journal, plant.events, plant.head).where(plant.id == key)
            ).one_or_none()
            if closed is None:
                raise NoSuchPlant(key)
            query = select(schema.event).where(event.plant_id == key).order_by(event.seq)
            rows = connection.execution_options(yield_per=1000).execute(query)
            count, head = hash_chain.check(_links(rows, closed.journal, keep), journal=closed.journal)
        if (count, head) != (closed.events, closed.head):
            lost = min(count, closed.events) + 1
            raise hash_chain.ChainBroken(lost, f"the journal has {count} events and was closed with {closed.events}")
        return count, head


def _links(rows: Iterable[Any], name: str, keep: Callable[[Link], None]) -> Iterator[Link]:
    for row in rows:
        event = as_event(row, name)
        link = Link(row.seq, event, event.digest(), row.hash)
        keep(link)
        yield link


def _plant_named(connection: Connection, name: str) -> tuple[int, str]:
    """Number and journal of the plant of this name, created if missing; locks the journal for this transaction."""
    query = select(schema.plant.c.id, schema.plant.c.journal).where(schema.plant.c.name == name).with_for_update()
    row = connection.execute(query).one_or_none()
    if row is None:
        new = {"name": name, "journal": new_journal(), "events": 0, "head": hash_chain.START}
        with suppress(IntegrityError), connection.begin_nested():  # somebody else may create it meanwhile
            connection.execute(insert(schema.plant).values(new))
        row = connection.execute(query).one()
    return int(row.id), str(row.journal)
