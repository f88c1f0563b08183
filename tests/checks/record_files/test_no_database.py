"""Commands on what is no database of this program: they say so, end with status 2 and create nothing."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from checks.__main__ import main
from checks.journal.errors import StoreUnavailable
from checks.journal.store import Store
from tests.checks.given import bare_plant
from tests.checks.journal.stored import import_plant
from tests.checks.team import Team

COMMANDS = (("verify",), ("export", "S30", "-o", "record.json"))


def in_sqlite(path: Path, *statements: str) -> None:
    """Run statements on a file by other means than this program."""
    with closing(sqlite3.connect(path)) as connection:
        for statement in statements:
            connection.execute(statement)
        connection.commit()


def _nothing(path: Path) -> None:
    assert not path.exists()


def _empty(path: Path) -> None:
    path.touch()


def _garbage(path: Path) -> None:
    path.write_bytes(b"junk " * 1000)


def _torn(path: Path) -> None:
    in_sqlite(path, "CREATE TABLE plant (id)")
    path.write_bytes(path.read_bytes()[:100] + b"x" * 4000)


def _no_tables(path: Path) -> None:
    in_sqlite(path, "CREATE TABLE passing (id)", "DROP TABLE passing")


def _foreign(path: Path) -> None:
    in_sqlite(path, "CREATE TABLE orders (id)", "CREATE TABLE customers (id)")


def _half_foreign(path: Path) -> None:
    in_sqlite(path, "CREATE TABLE plant (leaves)", "CREATE TABLE soil (id)")


def _earlier(path: Path) -> None:
    in_sqlite(path, *(f"CREATE TABLE {name} (id)" for name in ("plant", "plant_data", "answer")))


def _folder(path: Path) -> None:
    path.mkdir()


def _dropped(table: str) -> Callable[[Path], None]:
    def drop(path: Path) -> None:
        store = Store(f"sqlite:///{path}")
        import_plant(store, bare_plant(), by="", writer="w")
        store.engine.dispose()
        in_sqlite(path, "PRAGMA foreign_keys=OFF", f"DROP TABLE {table}")

    return drop


@pytest.mark.parametrize(
    ("made", "why", "do"),
    [
        (_nothing, "there is no database at {path}. Nothing was created", "start the program first: it creates one"),
        (_empty, "{path} is empty (0 bytes), so it is no database. Nothing was created or changed", "put back a copy"),
        (_garbage, "{path} is no SQLite database, or is damaged. Nothing was created", "put back a copy"),
        (_torn, "{path} cannot be read as a database (", "put back a copy"),
        (_no_tables, "the database {path} holds no table. Nothing was created", "name the right database"),
        (_foreign, "{path} holds tables of another program (customers, orders) and none of this one", "name the right"),
        (_half_foreign, "a table is missing in the database {path}: answer and plant_data", "put back a copy"),
        (_earlier, "the database {path} is of an earlier release of the program", "keep a copy, then start the program"),
        (_dropped("event"), "a table is missing in the database {path}: event. ", "put back a copy"),
        (_dropped("plant"), "a table is missing in the database {path}: plant. ", "put back a copy"),
        (_dropped("release"), "a table is missing in the database {path}: release. ", "put back a copy"),
        (_folder, "the database does not answer (unable to open database file)", "check that its disk"),
    ],
)  # fmt: skip
def test_what_is_no_database_is_named_with_what_to_do_and_nothing_is_created(
    made: Callable[[Path], None],
    why: str,
    do: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    path = tmp_path / "answers.sqlite3"
    made(path)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{path}")
    before = {file.name: file.is_file() and file.read_bytes() for file in tmp_path.iterdir()}
    for command in COMMANDS:
        assert main(list(command)) == 2
        printed = capsys.readouterr()
        assert printed.out == ""
        assert why.format(path=path) in printed.err
        assert do in printed.err
        assert len(printed.err.splitlines()) == 1
        assert {file.name: file.is_file() and file.read_bytes() for file in tmp_path.iterdir()} == before


def test_no_folder_is_created_for_a_database_that_is_only_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{tmp_path}/mistyped/answers.sqlite3")
    for command in COMMANDS:
        assert main(list(command)) == 2
        assert f"there is no database at {tmp_path}/mistyped/answers.sqlite3" in capsys.readouterr().err
    monkeypatch.setenv("SHARED_CAUSE_DB", "sqlite:/one-slash")
    assert main(["verify"]) == 2
    assert "SHARED_CAUSE_DB is no database URL" in capsys.readouterr().err
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SHARED_CAUSE_DB", "sqlite:///file:other.sqlite3?uri=true")
    assert main(["verify"]) == 2
    assert f"there is no database at {tmp_path}/other.sqlite3" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_a_database_without_a_plant_is_no_verified_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{tmp_path / 'new.sqlite3'}")
    Store()
    assert main(["verify"]) == 2
    why = (
        "verify: (database): holds no plant, so there is nothing to verify; name the right database in SHARED_CAUSE_DB"
    )
    assert capsys.readouterr().err.splitlines() == [why]


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"", "the file was cut short; ask for the record again"),
        (b"SQLite format 3\0" + bytes(80), "this is a database, no record file; name it in SHARED_CAUSE_DB, and run `verify`"),
    ],
)  # fmt: skip
def test_a_file_that_is_no_record_is_named_and_nothing_is_printed(
    content: bytes,
    why: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("S30.json").write_bytes(content)
    for command in (["verify"], ["report", "-o", "report.pdf"]):
        assert main([*command, "S30.json"]) == 2
        assert f"S30.json: (file): {why}" in capsys.readouterr().err
    assert [file.name for file in tmp_path.iterdir()] == ["S30.json"]


def test_an_empty_database_is_left_empty(backend: str, url: str) -> None:
    if backend == "sqlite":
        Path(url.removeprefix("sqlite:///")).touch()
    with pytest.raises(StoreUnavailable, match=r"holds no table|0 bytes"):
        Store(url, create=False)
    with pytest.raises(StoreUnavailable, match=r"holds no table|0 bytes"):
        Store(url, create=False)
    assert Store(url).plants() == Store(url, create=False).plants() == {}


def test_a_database_that_is_in_use_can_be_read(
    team: Team, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{team.path}")
    team.say("SEP2", "group:pt-301")
    assert main(["verify"]) == 0
    assert f": {team.count()} events" in capsys.readouterr().out
