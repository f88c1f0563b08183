"""A database of an earlier release opens with everything that it held."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from sqlalchemy import insert

from checks.store import migrations, schema
from checks.store.errors import StoreUnavailable
from checks.store.store import Store
from tests.checks.given import bare_plant
from tests.checks.store.stored import say

RELEASE_1 = Path(__file__).parent / "release_1.sql"
"""What release 1 wrote for two plants, four answers and a second import of the first plant."""


@pytest.fixture
def old(url: str) -> Store:
    """A database of release 1, opened with this release."""
    with sqlite3.connect(url.removeprefix("sqlite:///")) as connection:
        connection.executescript(RELEASE_1.read_text(encoding="utf-8"))
    connection.close()
    return Store(url)


def test_release_1_keeps_its_plants_their_data_and_every_answer(old: Store) -> None:
    assert old.plants() == {1: "Quillmarch Works", 2: "Other Works"}
    assert old.plant(1) == bare_plant(voting_factor="none"), "the later of two imports holds"
    first, second = old.history(1, "SEP1", "group:pt-301")
    assert (first.answer.value, first.answer.evidence, first.answer.by) == ("met", "Hook-up H-301 rev 4", "IT-3")
    assert (second.answer.value, second.answer.on, second.follows) == ("not-met", "2025-03-05", first.id)
    assert first.writer == second.writer == "w1"
    (kept,) = old.history(1, "PRO1", "plant")
    assert (kept.answer.note, kept.writer) == ("Zwei Sprachen: 漢字 'x' \"y\"", "w2")
    assert [one.answer.value for one in old.history(2, "SEP1", "group:pt-301")] == ["unknown"]


def test_events_taken_over_keep_their_times_and_their_order(old: Store) -> None:
    with sqlite3.connect(":memory:") as before:
        before.executescript(RELEASE_1.read_text(encoding="utf-8"))
        told = "SELECT at FROM (SELECT at FROM plant_data WHERE plant_id = 1 UNION ALL SELECT at FROM answer WHERE plant_id = 1) ORDER BY at"
        times = [row[0] for row in before.execute(told)]
    assert [one.at for one in old.events(1)] == times
    assert [one.kind for one in old.events(1)] == ["plant-data", "answer", "answer", "plant-data", "answer"]


def test_a_journal_made_of_release_1_verifies_and_goes_on(old: Store) -> None:
    assert old.verify(1)[0] == 5
    say(old, 1, "SEP1", "group:pt-301", "met")
    assert old.verify(1)[0] == 6
    assert old.verify(2)[0] == 2


def test_tables_of_release_1_are_gone_and_a_second_opening_changes_nothing(old: Store, url: str) -> None:
    with sqlite3.connect(url.removeprefix("sqlite:///")) as connection:
        tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        dump = list(connection.iterdump())
    assert tables == {"plant", "event", "release"}
    assert Store(url).plants() == old.plants()
    with sqlite3.connect(url.removeprefix("sqlite:///")) as connection:
        assert list(connection.iterdump()) == dump


def test_a_new_database_and_a_migrated_one_have_the_same_tables(old: Store, tmp_path: Path) -> None:
    new = Store(f"sqlite:///{tmp_path / 'new.sqlite3'}")

    def shape(store: Store) -> dict[str, list[tuple[object, ...]]]:
        with store.engine.connect() as connection:
            return {
                name: [tuple(row) for row in connection.exec_driver_sql(f"PRAGMA table_info({name})")]
                for name in schema.metadata.tables
            }

    assert shape(old) == shape(new)


def test_a_database_of_a_later_release_is_left_alone(store: Store, key: int, url: str) -> None:
    with store.engine.begin() as connection:
        connection.execute(insert(schema.release).values(number=migrations.LATEST + 1, at=""))
    with pytest.raises(StoreUnavailable, match="later release of the program"):
        Store(url)
    assert len(store.events(key)) == 1


def test_a_migration_that_breaks_off_leaves_the_old_database_as_it_was(
    url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = url.removeprefix("sqlite:///")
    with sqlite3.connect(path) as connection:
        connection.executescript(RELEASE_1.read_text(encoding="utf-8"))
        before = list(connection.iterdump())

    def _break(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(migrations, "append", _break)
    with pytest.raises(KeyboardInterrupt):
        Store(url)
    with sqlite3.connect(path) as connection:
        assert list(connection.iterdump()) == before
    monkeypatch.undo()
    assert Store(url).verify(1)[0] == 5
