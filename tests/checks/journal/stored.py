"""Answers and plant data put into a store without the checks above it, and read from it again."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from itertools import cycle
from typing import Any

from sqlalchemy import event

from checks.access.roles import Person
from checks.events.answering.answer import Body, StoredAnswer, slot, stored
from checks.events.plant.plant_data import plant_of
from checks.journal.append import Entry
from checks.journal.event import DECLARED
from checks.journal.store import DATA, Store
from checks.plantfile.consistency import BEFORE, ORDER
from checks.plantfile.plant import Answer, Plant
from checks.questions.bank import Question, banks
from checks.recording import plant_import
from tests.checks.given import answer

VALUES = ("met", "not-met", "partly", "unknown", "equivalent", "not-applicable", "met")


def say(store: Store, key: int, question: str, of: str, value: str = "met", **more: str) -> StoredAnswer:
    """Store an answer on top of the latest one."""
    seen = history(store, key, question, of)
    return save(store, key, answer(question, of, value, **more), seen=seen[-1].id if seen else 0, writer="test")


def save(
    store: Store, key: int, given: Answer, *, seen: int, writer: str, identity: str = DECLARED, at: str = ""
) -> StoredAnswer:
    """Append an answer after the one of this number; raises Overtaken when another one has come since."""
    place = slot(given.question, given.of)
    entry = Entry(Body.KIND, given.model_dump(), given.by, place, seen, writer, identity, at)
    return stored(store.record(key, entry)[0])


def history(store: Store, key: int, question: str, of: str) -> list[StoredAnswer]:
    """Every answer ever given to a question of exactly this addressee, oldest first."""
    return [stored(event) for event in store.events(key, slot=slot(question, of))]


def latest(store: Store, key: int, question: str, of: str) -> StoredAnswer | None:
    """The answer that holds for a question of exactly this addressee."""
    return next(reversed(history(store, key, question, of)), None)


def answers_after(store: Store, key: int, last: int) -> list[StoredAnswer]:
    """Answers of a plant stored after number ``last``, oldest first."""
    return [stored(event) for event in store.events(key, after=last, kinds=(Body.KIND,))]


def plant_data(store: Store, key: int) -> Plant:
    """The latest data of a plant, without answers."""
    return plant_of(store.events(key, kinds=(DATA,))[-1])


def import_plant(store: Store, plant: Plant, *, by: str, writer: str, identity: str = DECLARED, at: str = "") -> int:
    """Import a plant as somebody who may do so; answers that are stored already stay as they are."""
    return plant_import.store_plant(store, Person(by, frozenset(), identity, writer), plant, at=at)


def _addressees(plant: Plant, question: Question) -> Iterator[str]:
    for kind in BEFORE[question.bank]:
        if ORDER[kind] >= ORDER[question.asked_of]:
            block = {"system": plant.systems, "zone": plant.zones, "group": plant.groups}.get(kind)
            yield from ("plant",) if block is None else (f"{kind}:{name}" for name in block)


def many(plant: Plant, count: int) -> list[Answer]:
    """Different answers across every bank and every kind of addressee; the last quarter answers the first ones anew."""
    asked = [(one.id, of) for one in banks().every.values() for of in _addressees(plant, one)]
    order = sorted(asked, key=lambda pair: (len(pair[0]) * 31 + sum(map(ord, "".join(pair))) * 7919) % 1009)
    again = count // 4
    turns = [*order[: count - again], *order[:again]]
    assert len(turns) == count, "more answers than can be given"
    return [
        answer(*pair, value, evidence="shown" if at % 3 else "")
        for at, (pair, value) in enumerate(zip(turns, cycle(VALUES), strict=False))
    ]


def on_connect(store: Store, *pragmas: str) -> None:
    """Give every connection of a store further settings; those that are open are opened anew."""

    @event.listens_for(store.engine, "connect")
    def _set(connection: Any, _record: Any) -> None:
        for pragma in pragmas:
            connection.execute(f"PRAGMA {pragma}")

    store.engine.dispose()


@contextmanager
def statements(store: Store) -> Iterator[list[str]]:
    """Every statement that a store sends while the context lasts."""
    sent: list[str] = []

    def _note(_connection: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
        sent.append(statement)

    event.listen(store.engine, "before_cursor_execute", _note)
    yield sent
    event.remove(store.engine, "before_cursor_execute", _note)
