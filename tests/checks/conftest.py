"""A fresh database for each test, on every kind of database that this machine has."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest

from checks.store.store import Store
from tests.checks.given import bare_plant
from tests.postgres import Server, backends


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Run what uses a database once on each."""
    if "backend" in metafunc.fixturenames:
        metafunc.parametrize("backend", backends())


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say what was not tried."""
    if "postgresql" not in backends():
        terminalreporter.write_line("PostgreSQL was not tried: no server is on this machine. SQLite was.", yellow=True)


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """The PostgreSQL server that tests share."""
    started = Server()
    yield started
    started.remove()


@pytest.fixture
def sqlite_url(tmp_path: Path) -> str:
    """URL of a SQLite file that is not there yet."""
    return f"sqlite:///{tmp_path / 'answers.sqlite3'}"


@pytest.fixture
def postgresql_url(server: Server) -> Iterator[str]:
    """URL of an empty PostgreSQL database."""
    name = server.new()
    yield server.url(name)
    server.give_back(name)


@pytest.fixture
def url(backend: str, request: pytest.FixtureRequest) -> str:
    """URL of an empty database."""
    given: str = request.getfixturevalue(f"{backend}_url")
    return given


@pytest.fixture
def new_url(backend: str, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Callable[[], str]]:
    """Makes URLs of further empty databases of the same kind."""
    if backend == "sqlite":
        numbers = count()
        yield lambda: f"sqlite:///{tmp_path / f'new-{next(numbers)}.sqlite3'}"
        return
    server: Server = request.getfixturevalue("server")
    made = list[str]()

    def new() -> str:
        made.append(server.new())
        return server.url(made[-1])

    yield new
    for name in made:
        server.give_back(name)


@pytest.fixture
def store(url: str) -> Store:
    """An empty store."""
    return Store(url)


@pytest.fixture
def key(store: Store) -> int:
    """Number of the valid plant in the store, without a single answer."""
    return store.import_plant(bare_plant(), by="", writer="setup")
