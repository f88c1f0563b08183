"""A database of an earlier release opens with all its contents."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from sqlalchemy import insert, inspect, text

from checks.journal import migrations, schema
from checks.journal.errors import StoreUnavailable
from checks.journal.store import Store
from checks.plantfile.plant import About
from tests.checks.given import bare_plant
from tests.checks.journal.stored import history, import_plant, plant_data, say

RELEASE_1 = Path(__file__).parent / "release_1.sql"
"""Rows of release 1 for two plants, four answers and a second import of the first plant."""


def fill(url: str) -> None:
    """Create a database of release 1. On PostgreSQL it had the same tables, with numbers from sequences."""
    with sqlite3.connect(":memory:") as release_1:
        release_1.executescript(RELEASE_1.read_text(encoding="utf-8"))
    engine = schema.open_engine(url)
    with schema.connect(engine, writes=True) as connection, connection.begin():
        for table in ("plant", "plant_data", "answer"):
            (statement,) = release_1.execute("SELECT sql FROM sqlite_master WHERE name = ?", [table]).fetchone()
            if engine.dialect.name == "postgresql":
                statement = statement.replace("id INTEGER NOT NULL", "id SERIAL NOT NULL", 1)
            connection.exec_driver_sql(statement)
            rows = release_1.execute(f"SELECT * FROM {table}")  # noqa: S608  (the three names above)
            names = [column[0] for column in rows.description]
            places = ", ".join(f":{name}" for name in names)
            quoted = ", ".join(f'"{name}"' for name in names)
            put = text(f"INSERT INTO {table} ({quoted}) VALUES ({places})")  # noqa: S608
            connection.execute(put, [dict(zip(names, row, strict=True)) for row in rows])
            if engine.dialect.name == "postgresql":
                moved = f"SELECT setval(pg_get_serial_sequence('{table}', 'id'), max(id)) FROM {table}"  # noqa: S608
                connection.exec_driver_sql(moved)
    engine.dispose()


def contents(url: str) -> dict[str, list[tuple[object, ...]]]:
    """All rows of all tables."""
    engine = schema.open_engine(url)
    with engine.connect() as connection:
        tables = inspect(connection).get_table_names()
        rows = {name: sorted(map(tuple, connection.exec_driver_sql(f"SELECT * FROM {name}"))) for name in tables}  # noqa: S608
    engine.dispose()
    return rows


@pytest.fixture
def old(url: str) -> Store:
    """A database of release 1, opened with this release."""
    fill(url)
    return Store(url)


def test_release_1_keeps_its_plants_their_data_and_every_answer(old: Store) -> None:
    assert old.plants() == {1: "Quillmarch Works", 2: "Other Works"}
    assert plant_data(old, 1) == bare_plant(voting_factor="none"), "the later of two imports holds"
    first, second = history(old, 1, "SEP1", "group:pt-301")
    assert (first.answer.value, first.answer.evidence, first.answer.by) == ("met", "Hook-up H-301 rev 4", "IT-3")
    assert (second.answer.value, second.answer.on, second.follows) == ("not-met", "2025-03-05", first.id)
    assert first.writer == second.writer == "w1"
    (kept,) = history(old, 1, "PRO1", "plant")
    assert (kept.answer.note, kept.writer) == ("Zwei Sprachen: 漢字 'x' \"y\"", "w2")
    assert [stored.answer.value for stored in history(old, 2, "SEP1", "group:pt-301")] == ["unknown"]


def test_events_taken_over_keep_their_times_and_their_order(old: Store) -> None:
    with sqlite3.connect(":memory:") as before:
        before.executescript(RELEASE_1.read_text(encoding="utf-8"))
        query = "SELECT at FROM (SELECT at FROM plant_data WHERE plant_id = 1 UNION ALL SELECT at FROM answer WHERE plant_id = 1) ORDER BY at"
        times = [row[0] for row in before.execute(query)]
    assert [event.at for event in old.events(1)] == times
    assert [event.kind for event in old.events(1)] == ["plant-data", "answer", "answer", "plant-data", "answer"]


def test_a_journal_made_of_release_1_verifies_and_goes_on(old: Store) -> None:
    assert old.verify(1)[0] == 5
    say(old, 1, "SEP1", "group:pt-301", "met")
    assert old.verify(1)[0] == 6
    assert old.verify(2)[0] == 2


def test_tables_of_release_1_are_gone_and_a_second_opening_changes_nothing(old: Store, url: str) -> None:
    before = contents(url)
    assert set(before) == {"plant", "event", "release"}
    assert Store(url).plants() == old.plants()
    assert contents(url) == before


def test_a_new_database_and_a_migrated_one_have_the_same_tables(old: Store, new_url: Callable[[], str]) -> None:
    def shape(store: Store) -> dict[str, object]:
        inspector = inspect(store.engine)
        return {
            name: (
                [(column["name"], str(column["type"]), column["nullable"]) for column in inspector.get_columns(name)],
                inspector.get_pk_constraint(name)["constrained_columns"],
                sorted(constraint["column_names"] for constraint in inspector.get_unique_constraints(name)),
                sorted(
                    (constraint["name"], constraint["column_names"])
                    for constraint in inspector.get_indexes(name)
                    if not constraint["unique"]
                ),
                [
                    (constraint["constrained_columns"], constraint["referred_table"])
                    for constraint in inspector.get_foreign_keys(name)
                ],
            )
            for name in inspector.get_table_names()
        }

    assert shape(old) == shape(Store(new_url()))


def test_the_next_new_plant_after_a_migration_gets_the_next_number(old: Store) -> None:
    named = bare_plant().model_copy(update={"plant": About(name="Third Works")})
    assert import_plant(old, named, by="", writer="w") == 3


def test_a_database_of_a_later_release_is_left_alone(store: Store, key: int, url: str) -> None:
    with store.engine.begin() as connection:
        connection.execute(insert(schema.release).values(number=migrations.LATEST + 1, at=""))
    with pytest.raises(StoreUnavailable, match="later release of the program"):
        Store(url)
    assert len(store.events(key)) == 1


def test_a_migration_that_breaks_off_leaves_the_old_database_as_it_was(
    url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill(url)
    before = contents(url)
    assert set(before) == {"plant", "plant_data", "answer"}

    def _break(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(migrations, "append", _break)
    with pytest.raises(KeyboardInterrupt):
        Store(url)
    assert contents(url) == before
    monkeypatch.undo()
    assert Store(url).verify(1)[0] == 5
