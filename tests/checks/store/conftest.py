"""A fresh database for each test."""

from __future__ import annotations

from pathlib import Path

import pytest

from checks.store.store import Store
from tests.checks.given import bare_plant


@pytest.fixture
def url(tmp_path: Path) -> str:
    """URL of a database that is not there yet."""
    return f"sqlite:///{tmp_path / 'answers.sqlite3'}"


@pytest.fixture
def store(url: str) -> Store:
    """An empty store."""
    return Store(url)


@pytest.fixture
def key(store: Store) -> int:
    """Number of the valid plant in the store, without a single answer."""
    return store.import_plant(bare_plant(), by="", writer="setup")
