"""Migration of a database of an earlier release to this one: numbered steps, each in one transaction.

A released step never changes; it describes the tables of earlier releases as they were.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import UTC, datetime
from heapq import merge

from sqlalchemy import Connection, func, insert, inspect, select, text

from checks.journal import database_file, schema
from checks.journal.append import Entry, append, new_journal
from checks.journal.database_file import UNTOUCHED
from checks.journal.errors import StoreUnavailable
from checks.journal.hash_chain import START

PAGE = 1000


def _to_journal(connection: Connection) -> None:
    """Step 2: plant data and answers of release 1, each in a table of its own, become events of a journal."""
    for table in ("plant", "plant_data", "answer"):
        connection.execute(text(f"ALTER TABLE {table} RENAME TO {table}_1"))  # frees the names of the three new tables
    schema.metadata.create_all(connection, tables=[schema.plant, schema.event])
    for key, name in connection.execute(text("SELECT id, name FROM plant_1 ORDER BY id")).all():
        row = {"id": key, "name": name, "journal": new_journal(), "events": 0, "head": START}
        connection.execute(insert(schema.plant).values(row))
        _take_over(connection, key)
    for table in ("answer", "plant_data", "plant"):
        connection.execute(text(f"DROP TABLE {table}_1"))
    if connection.dialect.name == "postgresql":
        restart = "SELECT setval(pg_get_serial_sequence('plant', 'id'), (SELECT coalesce(max(id), 1) FROM plant))"
        connection.execute(text(restart))


def _take_over(connection: Connection, key: int) -> None:
    """Append the plant data and answers of release 1 for a plant, in time order."""
    of = {"key": key}
    data = text('SELECT id, text, "by", at FROM plant_data_1 WHERE plant_id = :key ORDER BY id')
    answers = text(
        'SELECT id, question, "of", follows, value, evidence, note, "by", "on", at, writer '
        "FROM answer_1 WHERE plant_id = :key ORDER BY id"
    )
    rows = merge(
        ((row.at, "plant-data", row) for row in connection.execute(data, of).all()),
        ((row.at, "answer", row) for row in connection.execute(answers, of)),
        key=lambda timed: timed[0],
    )
    became = {0: 0}
    last_data, entries = 0, list[Entry]()
    for at, kind, row in rows:
        seq = len(entries) + 1
        if kind == "plant-data":
            body = {"text": row.text}
            entries.append(Entry("plant-data", body, by=row.by, slot="plant-data", follows=last_data, at=at))
            last_data = seq
            continue
        names = ("question", "of", "value", "evidence", "note", "by", "on")
        body = {name: getattr(row, name) for name in names}
        slot, follows = f"answer {row.of} {row.question}", became[row.follows]
        entries.append(Entry("answer", body, by=row.by, slot=slot, follows=follows, at=at, writer=row.writer))
        became[row.id] = seq
    for start in range(0, len(entries), PAGE):
        append(connection, key, entries[start : start + PAGE])


STEPS: dict[int, Callable[[Connection], None]] = {2: _to_journal}
LATEST = max(STEPS)


TABLES = frozenset(schema.metadata.tables)
TABLES_1 = frozenset(("plant", "plant_data", "answer"))
"""Tables of this release, and of release 1."""


def is_ready(connection: Connection, *, create: bool) -> bool:
    """Whether the tables are those of this release; it only reads.

    Raises StoreUnavailable where a table is missing, the database is of a later release, or, with ``create`` off, where the
    tables would have to be created or upgraded.
    """
    tables, place = set(inspect(connection).get_table_names()), connection.engine.url.database
    if "release" in tables:
        number = connection.execute(select(func.max(schema.release.c.number))).scalar() or 1
        _check_release(number)
        if number == LATEST:
            _check_whole(TABLES - tables, place)
            return True
    elif {"plant", "event"} <= tables:
        _check_whole({"release"}, place)
    elif {"plant", "answer"} & tables:
        _check_whole(TABLES_1 - tables, place)
    elif not create:
        empty = StoreUnavailable(f"the database {place} holds no table", database_file.RIGHT_FILE, kept=UNTOUCHED)
        raise database_file.foreign(f"the database {place}", tables) if tables else empty
    if not create:
        what = f"the database {place} is of an earlier release of the program"
        raise StoreUnavailable(
            what, "keep a copy, then start the program once: it upgrades the database", kept=UNTOUCHED
        )
    return False


def _check_whole(missing: Iterable[str], place: str | None) -> None:
    if missing:
        named = " and ".join(sorted(missing))
        what = f"a table is missing in the database {place}: {named}. This program never removes one"
        raise StoreUnavailable(what, "put back a copy of the database", kept=UNTOUCHED)


def _check_release(number: int) -> None:
    if number > LATEST:
        what = f"the database was made by a later release of the program (tables {number}, this one knows {LATEST})"
        raise StoreUnavailable(what, "start the later release, or name another database in SHARED_CAUSE_DB")


def bring_up(connection: Connection) -> None:
    """Create the tables of a new database, or migrate those of an earlier release."""
    if connection.dialect.name == "postgresql":  # two programs may start at once
        connection.execute(text("SELECT pg_advisory_xact_lock(620113)"))
    tables = set(inspect(connection).get_table_names())
    if not {"release", "answer"} & tables:
        _check_encoding(connection)
        schema.metadata.create_all(connection)
        _note_release(connection, LATEST)
        return
    schema.metadata.create_all(connection, tables=[schema.release])
    number = connection.execute(select(func.max(schema.release.c.number))).scalar() or 1
    _check_release(number)
    for step in range(number + 1, LATEST + 1):
        STEPS[step](connection)
        _note_release(connection, step)


def _check_encoding(connection: Connection) -> None:
    """Raise StoreUnavailable where a database cannot hold all text: a server set up without a locale creates such ones."""
    if connection.dialect.name == "postgresql":
        encoding = connection.execute(text("SHOW server_encoding")).scalar_one()
        if encoding != "UTF8":
            what = f"the database keeps its text as {encoding}, which cannot hold every character"
            raise StoreUnavailable(what, "create it again with ENCODING 'UTF8' TEMPLATE template0")


def _note_release(connection: Connection, number: int) -> None:
    at = datetime.now(UTC).isoformat(timespec="milliseconds")
    connection.execute(insert(schema.release).values(number=number, at=at))
