"""The demo with its history in a file, as a first start leaves it, and looks at it on any day."""

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
    """A database with the demo in it, closed; to be copied by whoever writes to it."""
    return demo_database.written(tmp_path_factory.mktemp("demo") / "demo.sqlite3")


@pytest.fixture(scope="session")
def store(file: Path) -> Store:
    """The demo, to be read."""
    return Store(f"sqlite:///{file}")


@pytest.fixture
def copied(file: Path, tmp_path: Path) -> Store:
    """The demo, to be written to."""
    shutil.copyfile(file, tmp_path / "copy.sqlite3")
    return Store(f"sqlite:///{tmp_path / 'copy.sqlite3'}")


def on(store: Store, day: str) -> Live:
    """A follower of the demo on a day."""
    moment = datetime.combine(date.fromisoformat(day), time(9), UTC)
    return Live(store, 1, clock=lambda: moment)


@pytest.fixture(scope="session")
def seen(store: Store) -> Callable[[str], Live]:
    """The demo as somebody sees it who looks on a day."""
    return lambda day: on(store, day)


@pytest.fixture(scope="session")
def bodies(seen: Callable[[str], Live]) -> Bodies:
    """What each revision fixed, by system and number."""
    live = seen("2026-11-25")
    return {
        (one.system, one.number): revisions.fixed_body(live, one)
        for held in live.state().records.revisions.values()
        for one in held
    }
