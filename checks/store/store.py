"""Reading and writing plants and answers."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, and_, func, insert, select
from sqlalchemy.exc import DBAPIError, IntegrityError

from checks import plant_file
from checks.plant import Answer, Plant
from checks.store import schema
from checks.store.errors import AnsweredMeanwhile, NoSuchPlant, StoreUnavailable


@dataclass(frozen=True, slots=True)
class Stored:
    """An answer as it was stored: its number, the one it follows, when, and by which browser session."""

    id: int
    follows: int
    answer: Answer
    at: str
    writer: str


@dataclass(frozen=True, slots=True)
class Version:
    """Number of the latest plant data and of the latest answer; both only ever grow."""

    data: int
    answers: int


class Store:
    """One database of plants and answers. Safe to share between threads."""

    def __init__(self, url: str | None = None) -> None:
        self.engine = schema.open_engine(schema.default_url() if url is None else url)
        with self._begin(writes=True) as connection:
            schema.metadata.create_all(connection)

    @contextmanager
    def _begin(self, *, writes: bool = False) -> Iterator[Connection]:
        try:
            with self.engine.connect().execution_options(writes=writes) as connection, connection.begin():
                yield connection
        except IntegrityError:
            raise
        except DBAPIError as error:
            what = f"the database does not answer ({error.orig})"
            raise StoreUnavailable(
                what, "check that its disk is there, writable and not full, then try again"
            ) from error

    def plants(self) -> dict[int, str]:
        """Names of the plants in the store, in the order they came."""
        with self._begin() as connection:
            rows = connection.execute(select(schema.plant.c.id, schema.plant.c.name).order_by(schema.plant.c.id))
            return {row.id: row.name for row in rows}

    def version(self, key: int) -> Version:
        """What is latest for a plant: compare two of these to know whether anything changed."""
        data, given = schema.plant_data.c, schema.answer.c
        with self._begin() as connection:
            row = connection.execute(
                select(
                    select(func.max(data.id)).where(data.plant_id == key).scalar_subquery().label("data"),
                    select(func.max(given.id)).where(given.plant_id == key).scalar_subquery().label("answers"),
                )
            ).one()
        if row.data is None:
            raise NoSuchPlant(key)
        return Version(row.data, row.answers or 0)

    def plant(self, key: int) -> Plant:
        """The latest data of a plant, without answers."""
        data = schema.plant_data.c
        with self._begin() as connection:
            query = select(data.text).where(data.plant_id == key).order_by(data.id.desc()).limit(1)
            text = connection.execute(query).scalar()
        if text is None:
            raise NoSuchPlant(key)
        return plant_file.from_text(f"stored data of plant {key}", text)

    def answers_after(self, key: int, last: int) -> list[Stored]:
        """Answers of a plant stored after number ``last``, oldest first."""
        given = schema.answer.c
        with self._begin() as connection:
            query = select(schema.answer).where(and_(given.plant_id == key, given.id > last)).order_by(given.id)
            return [_stored(row) for row in connection.execute(query)]

    def save(self, key: int, answer: Answer, *, seen: int, writer: str) -> Stored:
        """Append an answer.

        ``seen`` is the number of the answer to the same question of the same addressee that its author had on
        screen, 0 for none. Raises AnsweredMeanwhile when another one has come since.
        """
        row = _row(key, answer, follows=seen, writer=writer, at=_now())
        try:
            with self._begin(writes=True) as connection:
                number = connection.execute(insert(schema.answer).returning(schema.answer.c.id), row).scalar_one()
        except IntegrityError as error:
            theirs = self.latest(key, answer.question, answer.of)
            if theirs is None:
                raise NoSuchPlant(key) from error
            raise AnsweredMeanwhile(theirs.answer) from error
        return Stored(number, seen, answer, str(row["at"]), writer)

    def latest(self, key: int, question: str, of: str) -> Stored | None:
        """The answer that holds for a question of exactly this addressee; None where there is none."""
        held = self.history(key, question, of)
        return held[-1] if held else None

    def history(self, key: int, question: str, of: str) -> list[Stored]:
        """Every answer ever given to a question of exactly this addressee, oldest first."""
        given = schema.answer.c
        with self._begin() as connection:
            query = select(schema.answer).where(given.plant_id == key, given.question == question, given.of == of)
            return [_stored(row) for row in connection.execute(query.order_by(given.id))]

    def import_plant(self, plant: Plant, *, by: str, writer: str) -> int:
        """Store the data of a plant, and of its answers those that say something new; returns its number.

        A plant of the same name gets new data; its answers stay, and later ones are appended on top. All or nothing.
        """
        at = _now()
        with self._begin(writes=True) as connection:
            key = self._named(connection, plant.plant.name)
            text = plant_file.to_text(plant.model_copy(update={"answers": []}))
            connection.execute(insert(schema.plant_data).values(plant_id=key, text=text, by=by, at=at))
            present = _present(connection, key)
            rows = []
            for one in plant.answers:
                held = present.get((one.question, one.of))
                if held is None or held.answer != one:
                    rows.append(_row(key, one, follows=held.id if held else 0, writer=writer, at=at))
            if rows:
                connection.execute(insert(schema.answer), rows)
        return key

    def _named(self, connection: Connection, name: str) -> int:
        held = connection.execute(select(schema.plant.c.id).where(schema.plant.c.name == name)).scalar()
        if held is not None:
            return int(held)
        return int(connection.execute(insert(schema.plant).values(name=name).returning(schema.plant.c.id)).scalar_one())


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def _row(key: int, answer: Answer, *, follows: int, writer: str, at: str) -> dict[str, Any]:
    return {**answer.model_dump(), "plant_id": key, "follows": follows, "writer": writer, "at": at}


_FIELDS = tuple(Answer.model_fields)


def _stored(row: Any) -> Stored:
    held = row._mapping  # noqa: SLF001  (SQLAlchemy's public name for it)
    # Written by save or import_plant from a checked Answer: no need to check each again.
    answer = Answer.model_construct(**{name: held[name] for name in _FIELDS})
    return Stored(held["id"], held["follows"], answer, held["at"], held["writer"])


def _present(connection: Connection, key: int) -> dict[tuple[str, str], Stored]:
    given = schema.answer.c
    query = select(schema.answer).where(given.plant_id == key).order_by(given.id)
    rows = (_stored(row) for row in connection.execute(query))
    return {(one.answer.question, one.answer.of): one for one in rows}
