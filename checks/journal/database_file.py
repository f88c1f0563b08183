"""The file of a SQLite database: whether it is there and is one, and whether it stays the same while the program runs."""

from __future__ import annotations

import sqlite3
from contextlib import closing, suppress
from pathlib import Path
from typing import Any, NoReturn
from urllib.parse import quote, unquote, urlsplit

from sqlalchemy import URL

from checks.journal.errors import StoreUnavailable

VARIABLE = "SHARED_CAUSE_DB"
MAGIC = b"SQLite format 3\x00"
"""First 16 bytes of a database (sqlite.org, Database File Format, 1.3.1; from memory)."""
UNTOUCHED = "Nothing was created or changed"
RIGHT_FILE = f"name the right database in {VARIABLE}, or put back a copy of it"
MOST_NAMED = 5


def path_of(url: URL) -> Path | None:
    """The file of a SQLite URL; None where a URI of SQLite names none."""
    database = str(url.database)
    if database.startswith("file:"):
        return None if url.query.get("mode") == "memory" else Path(unquote(urlsplit(database).path)).absolute()
    return Path(database).absolute()


def check(path: Path, *, create: bool) -> None:
    """Raise StoreUnavailable for a file that is no SQLite database, and for a missing or empty one unless it may be created."""
    empty = path.is_file() and path.stat().st_size == 0
    if not path.exists() and not create:
        do = f"name the right database in {VARIABLE}, or start the program first: it creates one"
        raise StoreUnavailable(f"there is no database at {path}", do, kept=UNTOUCHED)
    if empty and not create:
        raise StoreUnavailable(f"{path} is empty (0 bytes), so it is no database", RIGHT_FILE, kept=UNTOUCHED)
    if path.is_file() and not empty:
        _check_tables(path)


def _check_tables(path: Path) -> None:
    """Raise StoreUnavailable for a file that is no SQLite database, or belongs to another program. It is only read."""
    try:
        with path.open("rb") as file:
            if file.read(len(MAGIC)) != MAGIC:
                raise StoreUnavailable(f"{path} is no SQLite database, or is damaged", RIGHT_FILE, kept=UNTOUCHED)
        with closing(sqlite3.connect(f"file:{quote(str(path))}?mode=rw", uri=True, timeout=10)) as connection:
            names = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    except (OSError, sqlite3.Error) as error:
        raise StoreUnavailable(f"{path} cannot be read as a database ({error})", RIGHT_FILE, kept=UNTOUCHED) from error
    if names and not names & {"plant", "event", "release"}:
        raise foreign(str(path), names)


def foreign(place: str, names: set[str]) -> StoreUnavailable:
    """The error for a database that holds the tables of something else."""
    more = "" if len(names) <= MOST_NAMED else f" and {len(names) - MOST_NAMED} more"
    what = (
        f"{place} holds tables of another program ({', '.join(sorted(names)[:MOST_NAMED])}{more}) and none of this one"
    )
    return StoreUnavailable(what, RIGHT_FILE, kept=UNTOUCHED)


class DatabaseFile:
    """The file that an engine opened: a connection or transaction on another one would be acknowledged and gone."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._opened: tuple[int, int] | None = None

    def before_connection(self, _dialect: Any, _record: Any, _arguments: list[Any], named: dict[str, Any]) -> None:
        """Create a new file readable by its owner only; SQLite gives the files beside it the same rights."""
        if self._opened is not None:
            self.check()
        elif not named.get("uri"):  # a URI of SQLite says itself whether a file may be created
            with suppress(OSError):  # it exists already, or SQLite says why it cannot be created
                self._path.touch(mode=0o600, exist_ok=False)

    def check(self, _connection: Any = None) -> None:
        """Raise StoreUnavailable where the file is not the one of the first call any more: removed, moved or replaced."""
        try:
            found = self._path.stat()
        except OSError:
            self._raise_gone("was removed or moved")
        present = (found.st_dev, found.st_ino)
        if self._opened is None:
            self._opened = present
        elif self._opened != present:
            self._raise_gone("was replaced by another file")

    def _raise_gone(self, how: str) -> NoReturn:
        do = (
            "stop the program, put the file or its latest copy back in that place, and start it again; "
            "keep other programs from moving it"
        )
        what = f"the database file {self._path} {how} while the program runs"
        raise StoreUnavailable(what, do, kept="What you give now is not stored")
