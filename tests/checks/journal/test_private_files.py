"""The files of a database are readable by their owner only, unless somebody gave them other rights."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from checks.journal.errors import StoreUnavailable
from checks.journal.store import Store
from tests.checks.given import bare_plant
from tests.checks.journal.stored import import_plant, say


def _rights(folder: Path) -> dict[str, str]:
    return {path.name: oct(path.stat().st_mode & 0o777) for path in folder.glob("db*")}


@pytest.mark.skipif(os.name != "posix", reason="rights of files are those of POSIX")
@pytest.mark.parametrize("umask", [0o000, 0o022, 0o077])
def test_a_new_database_and_the_files_beside_it_are_private(tmp_path: Path, umask: int) -> None:
    before = os.umask(umask)
    try:
        store = Store(f"sqlite:///{tmp_path / 'db'}")
        say(store, import_plant(store, bare_plant(), by="", writer="w"), "SEP1", "group:pt-301")
        assert _rights(tmp_path) == dict.fromkeys(("db", "db-wal", "db-shm"), "0o600")
    finally:
        os.umask(before)


@pytest.mark.skipif(os.name != "posix", reason="rights of files are those of POSIX")
def test_a_database_that_a_group_of_people_may_read_stays_so(tmp_path: Path) -> None:
    (tmp_path / "db").touch(mode=0o640)
    Store(f"sqlite:///{tmp_path / 'db'}").plants()
    assert _rights(tmp_path)["db"] == "0o640"


def test_where_no_file_can_be_created_sqlite_says_so(tmp_path: Path) -> None:
    (tmp_path / "db").mkdir()
    with pytest.raises(StoreUnavailable):
        Store(f"sqlite:///{tmp_path / 'db'}").plants()


def test_a_uri_of_sqlite_leaves_no_file_of_its_own_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Store("sqlite:///file:db?uri=true").plants()
    assert {path.name for path in tmp_path.iterdir()} <= {"db", "db-wal", "db-shm"}
