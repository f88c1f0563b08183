"""What was reported as stored is still there after the process was killed."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from checks.store.store import Store
from tests.checks.given import ROOT
from tests.checks.store.stored import say

KILLED = 20
NURSERY = """
import os, signal, sys
from checks.store.store import Store
from tests.checks.given import answer
url, key, times = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
for turn in range(times):
    child = os.fork()
    if not child:
        store = Store(url)
        held = store.history(key, "SEP1", "group:pt-301")
        given = answer("SEP1", "group:pt-301", ("met", "not-met")[turn % 2], evidence=f"turn {turn}")
        stored = store.save(key, given, seen=held[-1].id if held else 0, writer="killed")
        os.write(1, f"{stored.id}\\n".encode())
        os.kill(os.getpid(), signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL, status
"""
"""Imports once, then forks children that each open the store, save, print the number and kill themselves."""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork and SIGKILL")
def test_every_number_that_was_printed_before_a_kill_is_still_in_the_store(store: Store, key: int, url: str) -> None:
    arguments = [sys.executable, "-c", NURSERY, url, str(key), str(KILLED)]
    ended = subprocess.run(arguments, cwd=ROOT, capture_output=True, text=True, check=False, timeout=120)  # noqa: S603
    assert ended.returncode == 0, ended.stderr
    printed = [int(line) for line in ended.stdout.split()]
    assert len(printed) == KILLED
    history = Store(url).history(key, "SEP1", "group:pt-301")
    assert [one.id for one in history] == printed
    assert [one.answer.evidence for one in history] == [f"turn {turn}" for turn in range(KILLED)]
    assert say(store, key, "SEP1", "group:pt-301").follows == printed[-1]


@pytest.mark.parametrize(
    ("setting", "value"), [("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1), ("busy_timeout", 10000)]
)
def test_every_connection_is_set_to_lose_nothing(store: Store, setting: str, value: object) -> None:
    with store.engine.connect() as one, store.engine.connect() as other:
        for connection in (one, other):
            assert connection.exec_driver_sql(f"PRAGMA {setting}").scalar() == value


def test_a_store_opened_again_holds_what_was_stored(store: Store, key: int, url: str) -> None:
    kept = say(store, key, "SEP1", "group:pt-301", evidence="drawing 4")
    store.engine.dispose()
    again = Store(url)
    assert again.plants() == {key: "Quillmarch Works"}
    assert again.plant(key) == store.plant(key)
    assert again.history(key, "SEP1", "group:pt-301") == [kept]
