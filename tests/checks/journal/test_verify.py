"""A journal in a database that was changed by other means than this program."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import event as on_event

from checks.events.answering.answer import StoredAnswer
from checks.journal import schema
from checks.journal.hash_chain import ChainBroken
from checks.journal.store import Store
from tests.checks.journal.stored import say

NAMES = ("SEP1", "SEP4", "DIV3", "DIV8", "CMP1")


@pytest.fixture
def journal(store: Store, key: int, url: str) -> str:
    """URL of a database with six events; event 1 is the plant data."""
    for name in NAMES:
        say(store, key, name, "group:pt-301", evidence="drawing 4")
    return url


def touch(url: str, *statements: str) -> None:
    engine = schema.open_engine(url)
    with schema.connect(engine, writes=True) as connection, connection.begin():
        for statement in statements:
            assert connection.exec_driver_sql(statement).rowcount > 0, "nothing was touched"
    engine.dispose()


@pytest.mark.usefixtures("journal")
def test_a_journal_written_by_this_program_verifies(store: Store, key: int) -> None:
    count, head = store.verify(key)
    assert (count, len(head)) == (1 + len(NAMES), 64)
    assert store.verify(key) == (count, head)


@pytest.mark.parametrize(
    ("statements", "broken_at"),
    [
        (["UPDATE event SET body = replace(body, '\"met\"', '\"not-met\"') WHERE seq = 4"], 4),
        (["UPDATE event SET body = replace(body, 'drawing 4', 'drawing 5') WHERE seq = 2"], 2),
        (["UPDATE event SET \"by\" = 'somebody else' WHERE seq = 3"], 3),
        (["UPDATE event SET at = replace(at, '20', '19') WHERE seq = 3"], 3),
        (["UPDATE event SET hash = substr(hash, 2) || substr(hash, 1, 1) WHERE seq = 5"], 5),
        (["DELETE FROM event WHERE seq = 3"], 3),
        (["DELETE FROM event WHERE seq = 1"], 1),
        (["DELETE FROM event WHERE seq = 6"], 6),
        (["DELETE FROM event WHERE seq > 2"], 3),
        (["UPDATE event SET seq = 40 WHERE seq = 4", "UPDATE event SET seq = 4 WHERE seq = 5", "UPDATE event SET seq = 5 WHERE seq = 40"], 4),
        (["UPDATE plant SET head = substr(head, 2) || substr(head, 1, 1)"], 7),
        (["UPDATE plant SET journal = 'another'"], 1),
    ],
)  # fmt: skip
def test_whatever_was_changed_by_hand_is_found_at_the_first_event_that_does_not_fit(
    journal: str, store: Store, key: int, statements: list[str], broken_at: int
) -> None:
    touch(journal, *statements)
    with pytest.raises(ChainBroken) as broken:
        store.verify(key)
    assert broken.value.seq == broken_at


def test_an_answer_stored_while_a_journal_is_followed_breaks_nothing(journal: str, store: Store, key: int) -> None:
    def _answer_meanwhile(_connection: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
        if "FROM event" in statement and not meanwhile:
            meanwhile.append(say(Store(journal), key, "SEP5", "group:pt-301"))

    meanwhile: list[StoredAnswer] = []
    on_event.listen(store.engine, "before_cursor_execute", _answer_meanwhile)
    assert store.verify(key)[0] == 1 + len(NAMES)
    on_event.remove(store.engine, "before_cursor_execute", _answer_meanwhile)
    assert len(meanwhile) == 1
    assert store.verify(key)[0] == 2 + len(NAMES)
