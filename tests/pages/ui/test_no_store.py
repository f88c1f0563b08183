"""A screen without its database says what happened, and calls nothing safe that cannot be read."""

from __future__ import annotations

from pathlib import Path

import pytest

from checks.journal.schema import VARIABLE
from checks.journal.store import Store
from pages.cached import database
from tests.pages.shown import Screen, unescaped


def test_a_screen_on_a_file_that_is_no_database_does_not_say_that_nothing_was_lost(
    screen: Screen, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "answers.sqlite3"
    path.write_bytes(b"junk " * 1000)
    monkeypatch.setenv(VARIABLE, f"sqlite:///{path}")
    database.store.clear()
    database.live.clear()
    at = screen("plant")
    (shown,) = {unescaped(message.value) for message in at.error}
    assert not at.exception
    assert f"{path} is no SQLite database, or is damaged. Nothing was created or changed; " in shown
    assert "name the right database in SHARED_CAUSE_DB, or put back a copy of it" in shown
    assert path.read_bytes() == b"junk " * 1000
    database.store.clear()


def test_a_screen_whose_database_file_was_removed_says_so_and_creates_none(
    screen: Screen, store: Store, tmp_path: Path
) -> None:
    at = screen("plant")
    assert not at.error
    store.engine.dispose()
    for file in tmp_path.glob("answers.sqlite3*"):
        file.unlink()
    at.run()
    assert not at.exception
    assert any("was removed or moved while the program runs" in unescaped(message.value) for message in at.error)
    assert list(tmp_path.glob("answers.sqlite3*")) == []
