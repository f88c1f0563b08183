"""A file that is no usable database gives a sentence that says what to do."""

from __future__ import annotations

import re
import sqlite3
from pathlib import Path

import platformdirs
import pytest

from checks.journal import schema
from checks.journal.errors import StoreUnavailable
from checks.journal.store import Store
from checks.questions.bank import banks
from demo import load
from tests.checks.given import answer, bare_plant
from tests.checks.journal.stored import answers_after, history, import_plant, on_connect, save, say

OF = "group:pt-301"
SENTENCE = re.compile(r"^.+\. Nothing stored was lost; .+\.$", re.DOTALL)


@pytest.fixture
def url(sqlite_url: str) -> str:
    """URL of a file; servers have tests of their own."""
    return sqlite_url


def refused(url: str) -> str:
    """Message of a store that cannot be opened."""
    with pytest.raises(StoreUnavailable) as refusal:
        Store(url)
    assert SENTENCE.match(str(refusal.value))
    return str(refusal.value)


@pytest.mark.parametrize(
    "url", ["nonsense", "sqlite:/one-slash", "://", "/home/me/answers.sqlite3", "postgresql://host:port/base"]
)
def test_what_is_no_url_is_told_with_the_variable_and_an_example(url: str) -> None:
    message = refused(url)
    assert "SHARED_CAUSE_DB is no database URL" in message
    assert "sqlite:////path/file.sqlite3 or postgresql://user@host/database" in message


@pytest.mark.parametrize("url", ["sqlite://", "sqlite:///:memory:"])
def test_a_database_in_memory_only_is_refused(url: str) -> None:
    assert "SHARED_CAUSE_DB names no file" in refused(url)


def test_a_database_without_its_driver_says_what_is_missing() -> None:
    assert "no driver for nowhere is installed" in refused("nowhere://host/base")


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    path = tmp_path / "file" / "below" / "answers.sqlite3"
    message = refused(f"sqlite:///{path}")
    assert f"the folder of {path} cannot be created" in message
    assert "choose another place in SHARED_CAUSE_DB" in message


def test_a_folder_that_is_not_there_yet_is_made(tmp_path: Path) -> None:
    path = tmp_path / "one" / "two" / "answers.sqlite3"
    assert Store(f"sqlite:///{path}").plants() == {}
    assert path.exists()


def test_a_folder_in_place_of_the_file_is_told(tmp_path: Path) -> None:
    assert "the database does not answer" in refused(f"sqlite:///{tmp_path}")


def test_a_file_that_is_no_database_is_told_left_alone_and_not_called_safe(tmp_path: Path) -> None:
    path = tmp_path / "answers.sqlite3"
    path.write_bytes(b"letters, not pages\n" * 400)
    with pytest.raises(
        StoreUnavailable, match=r"is no SQLite database, or is damaged\. Nothing was created"
    ) as refusal:
        Store(f"sqlite:///{path}")
    assert "Nothing stored was lost" not in str(refusal.value)
    assert path.read_bytes() == b"letters, not pages\n" * 400


def test_a_locked_database_is_told_and_takes_the_answer_once_it_is_free(store: Store, key: int, url: str) -> None:
    first = say(store, key, "SEP1", OF)
    on_connect(store, "busy_timeout=50")
    holder = sqlite3.connect(url.removeprefix("sqlite:///"), isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    with pytest.raises(StoreUnavailable, match="locked") as refusal:
        save(store, key, answer("SEP1", OF, "not-met"), seen=first.id, writer="w")
    assert SENTENCE.match(str(refusal.value))
    with pytest.raises(StoreUnavailable, match="locked"):
        import_plant(store, bare_plant(), by="", writer="w")
    assert history(store, key, "SEP1", OF) == [first], "one can read while another writes"
    holder.execute("ROLLBACK")
    holder.close()
    second = save(store, key, answer("SEP1", OF, "not-met"), seen=first.id, writer="w")
    assert history(store, key, "SEP1", OF) == [first, second]


@pytest.mark.parametrize("pragma", ["query_only=ON", "max_page_count=1"], ids=["read only", "disk full"])
def test_a_database_that_takes_nothing_more_loses_nothing(store: Store, key: int, pragma: str) -> None:
    kept = [say(store, key, "SEP1", OF)]
    on_connect(store, pragma)

    def fill() -> None:
        for name in banks().common_cause:
            stored = say(store, key, name, OF, "equivalent", evidence="long " * 400)
            kept.append(stored)

    with pytest.raises(StoreUnavailable, match="check that its disk is there, writable and not full"):
        fill()
    assert answers_after(store, key, 0) == kept


def test_a_database_of_another_program_gets_no_tables(tmp_path: Path) -> None:
    path = tmp_path / "orders.sqlite3"
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE orders (id)")
    other.close()
    before = path.read_bytes()
    with pytest.raises(StoreUnavailable, match=r"holds tables of another program \(orders\)"):
        Store(f"sqlite:///{path}")
    assert path.read_bytes() == before


def test_a_file_damaged_while_it_is_open_is_not_called_safe(store: Store, key: int, url: str) -> None:
    for name in banks().common_cause:
        say(store, key, name, OF, evidence="long " * 400)
    path = Path(url.removeprefix("sqlite:///"))
    store.engine.dispose()
    size = path.stat().st_size
    with path.open("r+b") as file:
        file.seek(4096)
        file.write(b"x" * (size - 4096))
    with pytest.raises(StoreUnavailable, match="is damaged, or is no database") as refusal:
        store.events(key)
    assert "What it held cannot be read; stop the program and put back a copy" in str(refusal.value)


def test_tables_that_went_away_are_told_and_not_called_safe(store: Store, key: int, url: str) -> None:
    with sqlite3.connect(url.removeprefix("sqlite:///")) as other:
        other.execute("DROP TABLE event")
    other.close()
    with pytest.raises(
        StoreUnavailable, match=r"a table was removed from the database .* \(no such table: event\)"
    ) as gone:
        store.version(key)
    assert "Nothing stored was lost" not in str(gone.value)
    with pytest.raises(StoreUnavailable, match=r"a table is missing in the database .*: event\. "):
        Store(url)


def test_the_variable_names_the_database(monkeypatch: pytest.MonkeyPatch, url: str) -> None:
    monkeypatch.setenv("SHARED_CAUSE_DB", f"  {url} ")
    assert schema.default_url() == url
    assert Store().engine.url.database == url.removeprefix("sqlite:///")


@pytest.mark.parametrize("value", [None, "", "  "])
def test_without_the_variable_the_database_lies_in_the_users_data_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, value: str | None
) -> None:
    monkeypatch.delenv("SHARED_CAUSE_DB", raising=False)
    if value is not None:
        monkeypatch.setenv("SHARED_CAUSE_DB", value)
    monkeypatch.setattr(platformdirs, "user_data_dir", lambda name, **_: str(tmp_path / name))
    assert schema.default_url() == f"sqlite:///{tmp_path / 'shared-cause-review' / 'answers.sqlite3'}"
    assert Store().plants() == {}
    assert (tmp_path / "shared-cause-review" / "answers.sqlite3").exists()


def test_loading_the_demo_says_its_number_and_that_it_is_invented(
    monkeypatch: pytest.MonkeyPatch, url: str, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("SHARED_CAUSE_DB", url)
    assert load.main() == 0
    assert capsys.readouterr().out == "The demo plant is in the store as number 1. Invented data - not for use.\n"
    assert Store(url).plants() == {1: "Quillmarch Works"}


def test_loading_the_demo_into_a_database_that_is_away_says_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("SHARED_CAUSE_DB", "nonsense")
    assert load.main() == 2
    assert "is no database URL" in capsys.readouterr().err
