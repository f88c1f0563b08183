"""A copy of a SQLite file in use, made with the commands of README.md, holds the same journal."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from checks.journal.store import Store
from tests.checks.given import ROOT, bare_plant
from tests.checks.journal.stored import import_plant, say

BACKUP = "import sqlite3; sqlite3.connect('answers.sqlite3').execute(\"VACUUM INTO 'copy.sqlite3'\")"
"""The command of README.md."""
NAMES = ("SEP1", "SEP4", "DIV3")


def test_a_copy_made_while_the_program_runs_verifies_with_the_same_head(sqlite_url: str, tmp_path: Path) -> None:
    store = Store(sqlite_url)
    key = import_plant(store, bare_plant(), by="", writer="w")
    for name in NAMES:
        say(store, key, name, "group:pt-301")
    before = store.verify(key)
    subprocess.run([sys.executable, "-c", BACKUP], cwd=tmp_path, check=True, timeout=60)  # noqa: S603
    say(store, key, "DIV8", "group:pt-301")
    copy = Store(f"sqlite:///{tmp_path / 'copy.sqlite3'}")
    assert copy.verify(key) == before
    assert copy.events(key) == store.events(key)[:-1]
    say(copy, key, "SEP1", "group:pt-301", "not-met")
    assert copy.verify(key)[0] == before[0] + 1


def test_the_command_line_verifies_a_copy(sqlite_url: str, tmp_path: Path) -> None:
    key = import_plant(Store(sqlite_url), bare_plant(), by="", writer="w")
    subprocess.run([sys.executable, "-c", BACKUP], cwd=tmp_path, check=True, timeout=60)  # noqa: S603
    named = {**os.environ, "SHARED_CAUSE_DB": f"sqlite:///{tmp_path / 'copy.sqlite3'}"}
    command = [sys.executable, "-m", "checks", "verify"]
    done = subprocess.run(command, cwd=ROOT, env=named, capture_output=True, text=True, check=True, timeout=60)  # noqa: S603
    assert Store(sqlite_url).verify(key)[1] in done.stdout
