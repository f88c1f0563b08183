"""A database file that is removed, moved or replaced while the program runs: nothing is acknowledged that would be lost."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event as on_event

from checks.journal.errors import StoreUnavailable
from checks.journal.store import Store
from tests.checks.given import bare_plant
from tests.checks.journal.stored import history, import_plant, say

OF = "group:pt-301"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """The file of a database that does not exist yet."""
    return tmp_path / "answers.sqlite3"


@pytest.fixture
def store(path: Path) -> Store:
    """A store with one plant."""
    store = Store(f"sqlite:///{path}")
    import_plant(store, bare_plant(), by="", writer="w")
    return store


def _removed(path: Path) -> None:
    for file in path.parent.glob(f"{path.name}*"):
        file.unlink()


def _moved(path: Path) -> None:
    path.rename(path.with_name("elsewhere.sqlite3"))


def _replaced(path: Path) -> None:
    copy = path.with_name("copy.sqlite3")
    shutil.copy(path, copy)
    copy.replace(path)


@pytest.mark.parametrize(
    ("change", "how"),
    [
        (_removed, "was removed or moved"),
        (_moved, "was removed or moved"),
        (_replaced, "was replaced by another file"),
    ],
)
def test_an_answer_after_it_is_not_acknowledged(
    store: Store, path: Path, change: Callable[[Path], None], how: str
) -> None:
    say(store, 1, "SEP1", OF)
    change(path)
    before = sorted(path.parent.iterdir())
    with pytest.raises(StoreUnavailable) as refusal:
        say(store, 1, "SEP1", OF, "not-met")
    assert f"the database file {path} {how} while the program runs. What you give now is not stored; " in str(
        refusal.value
    )
    assert "stop the program, put the file or its latest copy back in that place, and start it again" in str(
        refusal.value
    )
    for ask in (store.plants, lambda: store.version(1), lambda: store.verify(1)):
        with pytest.raises(StoreUnavailable, match=how):
            ask()
    store.engine.dispose()  # a new connection creates no file either
    with pytest.raises(StoreUnavailable, match=how):
        store.plants()
    assert set(path.parent.iterdir()) <= set(before)


def test_a_file_that_comes_back_goes_on_where_it_was(store: Store, path: Path) -> None:
    first = say(store, 1, "SEP1", OF)
    _moved(path)
    with pytest.raises(StoreUnavailable):
        say(store, 1, "SEP1", OF, "not-met")
    path.with_name("elsewhere.sqlite3").rename(path)
    second = say(store, 1, "SEP1", OF, "partly")
    assert history(store, 1, "SEP1", OF) == [first, second]


def test_a_file_that_goes_while_an_answer_is_being_stored_takes_the_acknowledgement_with_it(
    store: Store, path: Path
) -> None:
    def remove(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        if statement.startswith("INSERT INTO event"):
            _removed(path)

    on_event.listen(store.engine, "after_cursor_execute", remove)
    with pytest.raises(StoreUnavailable, match="was removed or moved"):
        say(store, 1, "SEP1", OF)
    assert not path.exists()


def test_a_file_named_by_a_uri_is_watched_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    store = Store("sqlite:///file:db?uri=true")
    import_plant(store, bare_plant(), by="", writer="w")
    _removed(tmp_path / "db")
    with pytest.raises(StoreUnavailable, match="was removed or moved"):
        say(store, 1, "SEP1", OF)
    assert list(tmp_path.iterdir()) == []
