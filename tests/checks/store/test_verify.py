"""A journal in a database that somebody touched by other means than this program."""

from __future__ import annotations

import sqlite3

import pytest

from checks.record.journal import ChainBroken
from checks.store.store import Store
from tests.checks.store.stored import say

NAMES = ("SEP1", "SEP4", "DIV3", "DIV8", "CMP1")


@pytest.fixture
def path(store: Store, key: int, url: str) -> str:
    """File of a database with six events, number 1 the plant data."""
    for name in NAMES:
        say(store, key, name, "group:pt-301", evidence="drawing 4")
    return url.removeprefix("sqlite:///")


def touch(path: str, *statements: str) -> None:
    with sqlite3.connect(path) as connection:
        for one in statements:
            assert connection.execute(one).rowcount > 0, "nothing was touched"
    connection.close()


@pytest.mark.usefixtures("path")
def test_a_journal_written_by_this_program_verifies(store: Store, key: int) -> None:
    count, head = store.verify(key)
    assert (count, len(head)) == (1 + len(NAMES), 64)
    assert store.verify(key) == (count, head)


@pytest.mark.parametrize(
    ("statements", "found"),
    [
        (["UPDATE event SET body = replace(body, '\"met\"', '\"not-met\"') WHERE seq = 4"], 4),
        (["UPDATE event SET body = replace(body, 'drawing 4', 'drawing 5') WHERE seq = 2"], 2),
        (["UPDATE event SET \"by\" = 'somebody else' WHERE seq = 3"], 3),
        (["UPDATE event SET at = replace(at, '20', '19') WHERE seq = 3"], 3),
        (["UPDATE event SET hash = replace(hash, '0', '1') WHERE seq = 5"], 5),
        (["DELETE FROM event WHERE seq = 3"], 3),
        (["DELETE FROM event WHERE seq = 1"], 1),
        (["DELETE FROM event WHERE seq = 6"], 6),
        (["DELETE FROM event WHERE seq > 2"], 3),
        (["UPDATE event SET seq = 40 WHERE seq = 4", "UPDATE event SET seq = 4 WHERE seq = 5", "UPDATE event SET seq = 5 WHERE seq = 40"], 4),
        (["UPDATE plant SET head = replace(head, '0', '1')"], 7),
        (["UPDATE plant SET journal = 'another'"], 1),
    ],
)  # fmt: skip
def test_whatever_was_changed_by_hand_is_found_at_the_first_event_that_does_not_fit(
    path: str, store: Store, key: int, statements: list[str], found: int
) -> None:
    touch(path, *statements)
    with pytest.raises(ChainBroken) as broken:
        store.verify(key)
    assert broken.value.seq == found
