"""What was reported as stored is still there after the process was killed."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from checks.journal.store import Store
from tests.checks.given import ROOT
from tests.checks.journal.stored import history, plant_data, say

KILLS = 80
NURSERY = """
import os, random, signal, sys, time
from checks.journal.store import Store
from tests.checks.given import answer
from tests.checks.journal.stored import history, save
url, key, kills = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
moments = random.Random(8760)
for turn in range(kills):
    begun, told = os.pipe()
    child = os.fork()
    if not child:
        store = Store(url)
        held = history(store, key, "SEP1", "group:pt-301")
        seen = held[-1].id if held else 0
        while True:
            given = answer("SEP1", "group:pt-301", ("met", "not-met")[seen % 2], evidence=f"turn {turn}")
            seen = save(store, key, given, seen=seen, writer="killed").id
            os.write(1, f"{seen}\\n".encode())
            os.write(told, b".")
    for _ in range(moments.randint(1, 3)):
        os.read(begun, 1)
    time.sleep(moments.uniform(0.0, 0.004))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    os.close(begun), os.close(told)
    if turn % 20 == 0:
        Store(url).verify(key)
"""
"""Forks children that save repeatedly and print each stored number; kills each soon after its first to third."""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork and SIGKILL")
def test_killed_at_any_moment_no_number_that_was_told_is_lost_and_the_journal_verifies(
    store: Store, key: int, url: str
) -> None:
    arguments = [sys.executable, "-c", NURSERY, url, str(key), str(KILLS)]
    ended = subprocess.run(arguments, cwd=ROOT, capture_output=True, text=True, check=False, timeout=240)  # noqa: S603
    assert ended.returncode == 0, ended.stderr
    acknowledged = [int(line) for line in ended.stdout.split()]
    assert len(acknowledged) >= KILLS
    stored = [entry.id for entry in history(Store(url), key, "SEP1", "group:pt-301")]
    assert set(acknowledged) <= set(stored)
    assert len(stored) - len(acknowledged) <= KILLS, "a child may have stored one more than it came to tell"
    count, _ = store.verify(key)
    assert count == stored[-1] == len(stored) + 1
    assert say(store, key, "SEP1", "group:pt-301").follows == stored[-1]


@pytest.mark.parametrize(
    ("setting", "value"), [("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1), ("busy_timeout", 10000)]
)
def test_every_connection_to_a_file_is_set_to_lose_nothing(sqlite_url: str, setting: str, value: object) -> None:
    store = Store(sqlite_url)
    with store.engine.connect() as first, store.engine.connect() as second:
        for connection in (first, second):
            assert connection.exec_driver_sql(f"PRAGMA {setting}").scalar() == value


def test_a_store_opened_again_holds_what_was_stored(store: Store, key: int, url: str) -> None:
    kept = say(store, key, "SEP1", "group:pt-301", evidence="drawing 4")
    store.engine.dispose()
    again = Store(url)
    assert again.plants() == {key: "Quillmarch Works"}
    assert plant_data(again, key) == plant_data(store, key)
    assert history(again, key, "SEP1", "group:pt-301") == [kept]
