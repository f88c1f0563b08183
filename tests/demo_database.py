"""The demo with its history in a database file, filled once a process: that takes seconds, a copy none."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from checks.journal.store import Store
from demo import load


@cache
def _filled() -> bytes:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "demo.sqlite3"
        store = Store(f"sqlite:///{path}")
        assert load.into(store) == 1
        store.engine.dispose()
        return path.read_bytes()


def written(path: Path) -> Path:
    """Write the database to a new file, closed, as a first start leaves it."""
    path.write_bytes(_filled())
    return path
