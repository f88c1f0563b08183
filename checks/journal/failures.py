"""What a failed statement of the database means for the person who waits for it."""

from __future__ import annotations

import sqlite3

from sqlalchemy import Engine
from sqlalchemy.exc import DBAPIError

from checks.journal.errors import StoreUnavailable

NO_SUCH_TABLE = "42P01"
"""SQLSTATE of PostgreSQL (its documentation, appendix A: undefined_table)."""
DAMAGED = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
PUT_BACK = "stop the program and put back a copy of the database"


def unavailable(error: DBAPIError, engine: Engine) -> StoreUnavailable:
    """The error to show: nothing is called safe where the file is damaged or a table is gone."""
    reason, place = str(error.orig).strip().partition("\n")[0], engine.url.database
    if _is_damaged(error):
        what = f"the database {place} is damaged, or is no database ({reason})"
        return StoreUnavailable(what, PUT_BACK, kept="What it held cannot be read")
    if getattr(error.orig, "sqlstate", "") == NO_SUCH_TABLE or reason.startswith("no such table"):
        what = f"a table was removed from the database {place} ({reason}); this program never does that"
        return StoreUnavailable(what, PUT_BACK, kept="What the table held cannot be read")
    return StoreUnavailable(f"the database does not answer ({reason})", _remedy(engine))


def _is_damaged(error: DBAPIError) -> bool:
    code = getattr(error.orig, "sqlite_errorcode", None)
    return code is not None and code & 0xFF in DAMAGED  # the low byte of an extended code is the primary one


def _remedy(engine: Engine) -> str:
    if engine.dialect.name == "sqlite":
        return "check that its disk is there, writable and not full, then try again"
    return "check that its server runs, can be reached and has room on its disk, then try again"
