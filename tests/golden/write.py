"""``python -m tests.golden.write N``: write the demo as this release stores it into ``release_N``, before the release."""

from __future__ import annotations

import gzip
import json
import shutil
import sqlite3
import sys
import tempfile
from contextlib import closing
from pathlib import Path

from checks.access.roles import OWNER, Person
from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.journal.store import Store
from checks.plantfile import plant_file
from checks.record_files import exports
from demo import load
from tests.golden import every_kind, everything

FOLDER = Path(__file__).parent


def write(folder: Path) -> None:
    """Fill a new folder: the databases, the record of every revision, the plant file, and its figures as JSON."""
    folder.mkdir()
    (folder / "plant.yaml").write_bytes(load.PLANT.read_bytes())
    figures = outcome(Assessment(plant_file.read(load.PLANT)))
    _packed(folder / "score.json", json.dumps(figures, allow_nan=False).encode())
    with tempfile.TemporaryDirectory() as scratch:
        database = Path(scratch) / "demo.sqlite3"
        store = Store(f"sqlite:///{database}")
        load.into(store)
        store.engine.dispose()
        _packed(folder / "demo.sqlite3", database.read_bytes())
        _records(folder, shutil.copyfile(database, Path(scratch) / "exported.sqlite3"))
    write_every_kind(folder)
    write_everything(folder)


def write_every_kind(folder: Path) -> None:
    """Write a database with every kind of event; ``test_every_kind`` checks its state."""
    with tempfile.TemporaryDirectory() as scratch:
        database = Path(scratch) / "every_kind.sqlite3"
        every_kind.fill(database)
        _packed(folder / "every_kind.sqlite3", _whole(database))


def write_everything(folder: Path) -> None:
    """Write a database of a plant with everything of format 2, and the record of its revision."""
    with tempfile.TemporaryDirectory() as scratch:
        database = Path(scratch) / "everything.sqlite3"
        _packed(folder / "everything.json", everything.fill(database).encode())
        _packed(folder / "everything.sqlite3", _whole(database))


def _whole(database: Path) -> bytes:
    """The content of a database file: other connections may still be open, so what lies beside it is written into it first."""
    with closing(sqlite3.connect(database)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return database.read_bytes()


def _records(folder: Path, database: Path) -> None:
    store = Store(f"sqlite:///{database}")
    person = Person("asset owner AO-1", frozenset({OWNER}))
    for system in exports.plant_with(store, "S30").state().records.revisions:
        live = exports.plant_with(store, system)
        for revision in live.state().records.revisions[system]:
            text = exports.export(live, person, revision)
            _packed(folder / f"{system}-{revision.number}.json", text.encode())
    store.engine.dispose()


def _packed(path: Path, data: bytes) -> None:
    path.with_name(f"{path.name}.gz").write_bytes(gzip.compress(data, 9, mtime=0))


if __name__ == "__main__":
    write(FOLDER / f"release_{int(sys.argv[1])}")
