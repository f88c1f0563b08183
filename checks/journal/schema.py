"""Tables of the store and the connection to it."""

from __future__ import annotations

import os
from pathlib import Path
from sqlite3 import SQLITE_BUSY, OperationalError
from time import monotonic, sleep
from typing import Any

import platformdirs
from sqlalchemy import (
    Column,
    Connection,
    Engine,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    StaticPool,
    String,
    Table,
    Text,
    UniqueConstraint,
    create_engine,
)
from sqlalchemy import event as on_event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, NoSuchModuleError

from checks.journal import database_file
from checks.journal.database_file import VARIABLE, DatabaseFile
from checks.journal.errors import StoreUnavailable

EXAMPLES = "sqlite:////path/file.sqlite3 or postgresql://user@host/database"

POOL = {"pool_size": 20, "max_overflow": 0, "pool_timeout": 10}
"""Connections of a process, and the longest wait for a free one [s]. All stay open: closing a connection after use would not
wake a waiting thread."""

SERVER = {
    "client_encoding": "utf8",
    "connect_timeout": "10",
    "keepalives_idle": "10",
    "keepalives_interval": "5",
    "keepalives_count": "3",
    "tcp_user_timeout": "20000",
}
SESSION = (
    "-c synchronous_commit=on -c lock_timeout=10s -c statement_timeout=60s -c idle_in_transaction_session_timeout=60s"
)
"""PostgreSQL session: a commit waits for the disk, and every wait is limited (10 s for a lock, as with SQLite). Options in the
URL take precedence."""

MOST_LETTERS = {"slot": 240, "by": 200, "identity": 240, "writer": 64}
"""Most characters of each column whose text comes from outside the program."""

metadata = MetaData()

release = Table(
    "release",
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("at", String(32), nullable=False),
)
"""Numbers of the migrations this database went through; the largest gives the form of its tables."""

plant = Table(
    "plant",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", String(200), nullable=False, unique=True),
    Column("journal", String(32), nullable=False, unique=True),
    Column("events", Integer, nullable=False),
    Column("head", String(64), nullable=False),
)
"""Plants. ``events`` and ``head`` are the number of events and the last hash of the journal: they show whether its end was cut
off. Only they change, and ``name`` when the plant data get a new one. The row is also the lock of its journal."""

event = Table(
    "event",
    metadata,
    Column("plant_id", ForeignKey("plant.id"), primary_key=True),
    Column("seq", Integer, primary_key=True, autoincrement=False),
    Column("kind", String(32), nullable=False),
    Column("slot", String(MOST_LETTERS["slot"])),
    Column("follows", Integer, nullable=False),
    Column("at", String(32), nullable=False),
    Column("by", String(MOST_LETTERS["by"]), nullable=False),
    Column("identity", String(MOST_LETTERS["identity"]), nullable=False),
    Column("writer", String(MOST_LETTERS["writer"]), nullable=False),
    Column("salt", String(32), nullable=False),
    Column("body", Text, nullable=False),
    Column("hash", String(64), nullable=False),
    UniqueConstraint("plant_id", "slot", "follows", name="one_event_follows_another"),
    Index("event_by_kind", "plant_id", "kind", "seq"),
)
"""Events, appended and never changed. ``follows`` is the event of the same slot that the author saw, 0 for none: of two events
that follow the same one, any database stores only the first. Without a slot there is no such rule."""


PATIENCE = 10.0
"""Longest wait of a connection for its turn [s]."""
IN_MEMORY = "sqlite+pysqlite://"
"""A temporary database in memory, to build a journal before it is stored."""


def default_url() -> str:
    """URL of the database: ``SHARED_CAUSE_DB``, else a SQLite file in the data folder of the user."""
    named = os.environ.get(VARIABLE, "").strip()
    if named:
        return named
    folder = Path(platformdirs.user_data_dir("shared-cause-review", appauthor=False))
    return f"sqlite:///{folder / 'answers.sqlite3'}"


def open_engine(url: str, *, create: bool = True) -> Engine:
    """Engine for a URL: SQLite in WAL mode with full synchronisation, PostgreSQL with a limit to every wait.

    Raises StoreUnavailable where the URL is invalid, its driver is missing, its folder cannot be created, or its file is no
    database of this program; with ``create`` off also where there is no file yet.
    """
    try:
        parsed = make_url(url)
    except (ArgumentError, ValueError) as error:  # ValueError: the port is no number
        raise StoreUnavailable(f"{VARIABLE} is no database URL", f"write it as {EXAMPLES}") from error
    return _open_file(parsed, create=create) if parsed.get_backend_name() == "sqlite" else _open_server(parsed)


def _open_server(parsed: URL) -> Engine:
    if parsed.get_backend_name() == "postgresql":
        driver = "postgresql+psycopg" if parsed.drivername == "postgresql" else parsed.drivername
        session = " ".join((SESSION, *parsed.normalized_query.get("options", ())))
        parsed = parsed.set(drivername=driver, query={**SERVER, **parsed.query, "options": session})
    try:
        return create_engine(parsed, pool_pre_ping=True, **POOL)
    except (ModuleNotFoundError, NoSuchModuleError) as error:
        what = f"no driver for {parsed.drivername} is installed ({error})"
        raise StoreUnavailable(what, f"install it, or name another database in {VARIABLE}") from error


def _open_file(parsed: URL, *, create: bool) -> Engine:
    if str(parsed) == IN_MEMORY:
        return _with_listeners(create_engine(parsed, connect_args={"check_same_thread": False}, poolclass=StaticPool))
    if not parsed.database or parsed.database == ":memory:":
        raise StoreUnavailable(f"{VARIABLE} names no file", f"write it as {EXAMPLES}")
    path = database_file.path_of(parsed)
    if path is not None:
        _prepare(path, create=create)
    engine = create_engine(parsed, connect_args={"check_same_thread": False, "timeout": 10}, **POOL)
    if path is not None:
        file = DatabaseFile(path)
        on_event.listen(engine, "do_connect", file.before_connection)
        on_event.listen(engine, "begin", file.check)
        on_event.listen(engine, "commit", file.check)
    return _with_listeners(engine, write_ahead=create)


def _prepare(path: Path, *, create: bool) -> None:
    """Create the folder of a database file if it may be created, and check a file that is there."""
    try:
        if create:
            path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        what = f"the folder of {path} cannot be created ({error.strerror})"
        raise StoreUnavailable(what, f"choose another place in {VARIABLE}") from error
    database_file.check(path, create=create)


def _with_listeners(engine: Engine, *, write_ahead: bool = True) -> Engine:
    """A SQLite engine that begins its transactions in this module; a file that is only read keeps the log that it has."""
    on_event.listen(engine, "connect", _on_connect)
    if write_ahead:
        on_event.listen(engine, "connect", _set_write_ahead)
    on_event.listen(engine, "begin", _on_begin)
    return engine


def _on_connect(connection: Any, _record: Any) -> None:
    connection.isolation_level = None  # _on_begin begins transactions, not the driver
    cursor = connection.cursor()
    for pragma in ("busy_timeout=10000", "synchronous=FULL", "foreign_keys=ON"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _set_write_ahead(connection: Any, _record: Any) -> None:
    """Switch on the write-ahead log. SQLite itself does not wait here when several programs create a database at once."""
    last = monotonic() + PATIENCE
    while True:
        try:
            connection.execute("PRAGMA journal_mode=WAL").close()
        except OperationalError as error:
            if error.sqlite_errorcode != SQLITE_BUSY or monotonic() > last:
                raise
            sleep(0.01)
        else:
            return


def _on_begin(connection: Any) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def connect(engine: Engine, *, writes: bool) -> Connection:
    """A connection for one transaction.

    A reading transaction sees one moment of any database. A writing one waits for its turn, then sees all earlier writes.
    """
    if engine.dialect.name == "postgresql":
        level = "READ COMMITTED" if writes else "REPEATABLE READ"
        return engine.connect().execution_options(isolation_level=level)
    return engine.connect().execution_options(writes=writes)
