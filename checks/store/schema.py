"""Tables of the store and the connection to it."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import platformdirs
from sqlalchemy import (
    Column,
    Engine,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
    create_engine,
    event,
)
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, NoSuchModuleError

from checks.store.errors import StoreUnavailable

VARIABLE = "SHARED_CAUSE_DB"

metadata = MetaData()

plant = Table(
    "plant",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", String(200), nullable=False, unique=True),
)

plant_data = Table(
    "plant_data",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("plant_id", ForeignKey("plant.id"), nullable=False),
    Column("text", Text, nullable=False),
    Column("by", String(200), nullable=False),
    Column("at", String(32), nullable=False),
    Index("plant_data_latest", "plant_id", "id"),
)
"""Each import of a plant's data, as plant-file text without answers. The latest holds."""

answer = Table(
    "answer",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("plant_id", ForeignKey("plant.id"), nullable=False),
    Column("question", String(64), nullable=False),
    Column("of", String(80), nullable=False),
    Column("follows", Integer, nullable=False),
    Column("value", String(16), nullable=False),
    Column("evidence", Text, nullable=False),
    Column("note", Text, nullable=False),
    Column("by", String(200), nullable=False),
    Column("on", String(32), nullable=False),
    Column("at", String(32), nullable=False),
    Column("writer", String(64), nullable=False),
    UniqueConstraint("plant_id", "question", "of", "follows", name="one_answer_follows_another"),
    Index("answer_by_plant", "plant_id", "id"),
)
"""Every answer ever given. ``follows`` is the id of the answer its author saw, 0 for none: two people who answer on
top of the same one cannot both be stored, on any database."""


def default_url() -> str:
    """URL of the database: ``SHARED_CAUSE_DB``, else a SQLite file in the user's data folder."""
    named = os.environ.get(VARIABLE, "").strip()
    if named:
        return named
    folder = Path(platformdirs.user_data_dir("shared-cause-review", appauthor=False))
    return f"sqlite:///{folder / 'answers.sqlite3'}"


def open_engine(url: str) -> Engine:
    """Engine for a URL with the tables in place; SQLite runs in WAL with full synchronisation."""
    try:
        parsed = make_url(url)
    except ArgumentError as error:
        raise StoreUnavailable(f"{VARIABLE} is no database URL", "write it as sqlite:////path/file.sqlite3") from error
    if parsed.get_backend_name() != "sqlite":
        try:
            return create_engine(parsed, pool_pre_ping=True)
        except (ModuleNotFoundError, NoSuchModuleError) as error:
            what = f"no driver for {parsed.drivername} is installed ({error})"
            raise StoreUnavailable(what, f"install it, or name another database in {VARIABLE}") from error
    if parsed.database and parsed.database != ":memory:":
        try:
            Path(parsed.database).parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            what = f"the folder of {parsed.database} cannot be made ({error.strerror})"
            raise StoreUnavailable(what, f"choose another place in {VARIABLE}") from error
    engine = create_engine(parsed, connect_args={"check_same_thread": False, "timeout": 10})
    event.listen(engine, "connect", _on_connect)
    event.listen(engine, "begin", _on_begin)
    return engine


def _on_connect(connection: Any, _record: Any) -> None:
    connection.isolation_level = None  # transactions are begun below, not by the driver
    cursor = connection.cursor()
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "busy_timeout=10000"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _on_begin(connection: Any) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
