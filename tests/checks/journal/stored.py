"""Answers and plant data stored without the checks of higher layers, and read again."""

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
from checks.journal.queries import DATA
from checks.journal.store import Store
from checks.plantfile.consistency import BEFORE, ORDER
from checks.plantfile.plant import Answer, Plant
from checks.questions.bank import Question, banks
from checks.recording import plant_import
from tests.checks.given import answer

VALUES = ("met", "not-met", "partly", "unknown", "equivalent", "not-applicable", "met")


def say(store: Store, key: int, question: str, of: str, value: str = "met", **more: str) -> StoredAnswer:
    """Store an answer on top of the latest one."""
    earlier = history(store, key, question, of)
    return save(store, key, answer(question, of, value, **more), seen=earlier[-1].id if earlier else 0, writer="test")


def save(
    store: Store, key: int, new_answer: Answer, *, seen: int, writer: str, identity: str = DECLARED, at: str = ""
) -> StoredAnswer:
    """Append an answer after event ``seen``; raises Overtaken where another answer came since."""
    place = slot(new_answer.question, new_answer.of)
    entry = Entry(Body.KIND, new_answer.model_dump(), new_answer.by, place, seen, writer, identity, at)
    return stored(store.record(key, entry)[0])


def history(store: Store, key: int, question: str, of: str) -> list[StoredAnswer]:
    """All answers to a question for exactly this addressee, oldest first."""
    return [stored(event) for event in store.events(key, slot=slot(question, of))]


def latest(store: Store, key: int, question: str, of: str) -> StoredAnswer | None:
    """The latest answer to a question for exactly this addressee."""
    return next(reversed(history(store, key, question, of)), None)


def answers_after(store: Store, key: int, last: int) -> list[StoredAnswer]:
    """Answers of a plant stored after number ``last``, oldest first."""
    return [stored(event) for event in store.events(key, after=last, kinds=(Body.KIND,))]


def plant_data(store: Store, key: int) -> Plant:
    """The latest data of a plant, without answers."""
    return plant_of(store.events(key, kinds=(DATA,))[-1])


def import_plant(store: Store, plant: Plant, *, by: str, writer: str, identity: str = DECLARED, at: str = "") -> int:
    """Import a plant as a person with that permission; stored answers stay as they are."""
    return plant_import.store_plant(store, Person(by, frozenset(), identity, writer), plant, at=at)


def _addressees(plant: Plant, question: Question) -> Iterator[str]:
    for kind in BEFORE[question.bank]:
        if ORDER[kind] >= ORDER[question.asked_of]:
            block = {"system": plant.systems, "zone": plant.zones, "group": plant.groups}.get(kind)
            yield from ("plant",) if block is None else (f"{kind}:{name}" for name in block)


def many(plant: Plant, count: int) -> list[Answer]:
    """Different answers across all banks and kinds of addressees; the last quarter repeats the first questions."""
    known = banks()
    questions = (*known.common_cause.values(), *known.cyber.values(), *known.requirements.values())
    asked = [(question.id, of) for question in questions for of in _addressees(plant, question)]
    order = sorted(asked, key=lambda pair: (len(pair[0]) * 31 + sum(map(ord, "".join(pair))) * 7919) % 1009)
    again = count // 4
    turns = [*order[: count - again], *order[:again]]
    assert len(turns) == count, "more answers than can be given"
    return [
        answer(*pair, value, evidence="shown" if at % 3 else "")
        for at, (pair, value) in enumerate(zip(turns, cycle(VALUES), strict=False))
    ]


def on_connect(store: Store, *pragmas: str) -> None:
    """Add settings to each connection of a store; open connections are reopened."""

    @event.listens_for(store.engine, "connect")
    def _set(connection: Any, _record: Any) -> None:
        for pragma in pragmas:
            connection.execute(f"PRAGMA {pragma}")

    store.engine.dispose()


@contextmanager
def statements(store: Store) -> Iterator[list[str]]:
    """Statements that a store sends within the context."""
    sent: list[str] = []

    def _note(_connection: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
        sent.append(statement)

    event.listen(store.engine, "before_cursor_execute", _note)
    yield sent
    event.remove(store.engine, "before_cursor_execute", _note)
