"""Fixtures: the demo with its history in a database, and its state on any day."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any

import pytest

from checks.journal.store import Store
from checks.signoff import revisions
from checks.state.live import Live
from tests import demo_database

Bodies = dict[tuple[str, int], dict[str, Any]]


@pytest.fixture(scope="session")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A closed database with the demo; a test that writes to it takes a copy."""
    return demo_database.written(tmp_path_factory.mktemp("demo") / "demo.sqlite3")


@pytest.fixture(scope="session")
def store(file: Path) -> Store:
    """The demo, for reading only."""
    return Store(f"sqlite:///{file}")


@pytest.fixture
def copied(file: Path, tmp_path: Path) -> Store:
    """A copy of the demo, for writing."""
    shutil.copyfile(file, tmp_path / "copy.sqlite3")
    return Store(f"sqlite:///{tmp_path / 'copy.sqlite3'}")


def on(store: Store, day: str) -> Live:
    """The demo on a day."""
    moment = datetime.combine(date.fromisoformat(day), time(9), UTC)
    return Live(store, 1, clock=lambda: moment)


@pytest.fixture(scope="session")
def as_of(store: Store) -> Callable[[str], Live]:
    """Function that gives the demo on a day."""
    return lambda day: on(store, day)


@pytest.fixture(scope="session")
def bodies(as_of: Callable[[str], Live]) -> Bodies:
    """Body of each revision, by system and number."""
    live = as_of("2026-11-25")
    return {
        (revision.system, revision.number): revisions.fixed_body(live, revision)
        for of_system in live.state().records.revisions.values()
        for revision in of_system
    }
