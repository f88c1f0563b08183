"""What the tests of the store do again and again."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from itertools import cycle
from typing import Any

from sqlalchemy import event

from checks.journal.store import Store
from checks.journal.stored import Stored
from checks.plantfile.consistency import BEFORE, ORDER
from checks.plantfile.plant import Answer, Plant
from checks.questions.bank import Question, banks
from tests.checks.given import answer

VALUES = ("met", "not-met", "partly", "unknown", "equivalent", "not-applicable", "met")


def say(store: Store, key: int, question: str, of: str, value: str = "met", **more: str) -> Stored:
    """Store an answer on top of the latest one."""
    seen = store.history(key, question, of)
    return store.save(key, answer(question, of, value, **more), seen=seen[-1].id if seen else 0, writer="test")


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
