"""A fresh database for each test, on every kind of database of this machine; and teams, each with its own database."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from copy import deepcopy
from itertools import count
from pathlib import Path

import pytest

from checks.journal.store import Store
from checks.recording import answer_records
from checks.signoff import accepted_gaps
from tests.checks.given import bare_plant
from tests.checks.journal.stored import import_plant
from tests.checks.record_files.handed import Data
from tests.checks.team import (
    ANSWERS,
    DISSENT,
    EVIDENCE,
    LEADS,
    OF_S50,
    OWNS,
    Team,
    ahead,
    every_answer,
    founded,
    three_systems,
)
from tests.postgres import Server, backends


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Run each test that uses a database on every kind."""
    if "backend" in metafunc.fixturenames:
        metafunc.parametrize("backend", backends())


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Report the kinds of database that were not tried."""
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
    """URL of a SQLite file that does not exist yet."""
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
    address: str = request.getfixturevalue(f"{backend}_url")
    return address


@pytest.fixture
def new_url(backend: str, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Callable[[], str]]:
    """A function that returns URLs of further empty databases of the same kind."""
    if backend == "sqlite":
        numbers = count()
        yield lambda: f"sqlite:///{tmp_path / f'new-{next(numbers)}.sqlite3'}"
        return
    server: Server = request.getfixturevalue("server")
    databases = list[str]()

    def new() -> str:
        databases.append(server.new())
        return server.url(databases[-1])

    yield new
    for name in databases:
        server.give_back(name)


@pytest.fixture
def store(url: str) -> Store:
    """An empty store."""
    return Store(url)


@pytest.fixture
def key(store: Store) -> int:
    """Number of the valid plant in the store, without a single answer."""
    return import_plant(store, bare_plant(), by="", writer="setup")


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Team:
    """A plant whose system S30 is ready to sign."""
    plant = three_systems().model_copy(update={"answers": every_answer()})
    return founded(tmp_path_factory.mktemp("made") / "answers.sqlite3", plant, "safety", "security")


@pytest.fixture
def team(made: Team, tmp_path: Path) -> Team:
    """A team whose system S30 is ready to submit and sign."""
    return made.copy(tmp_path / "answers.sqlite3")


@pytest.fixture(scope="session")
def story(made: Team, tmp_path_factory: pytest.TempPathFactory) -> Team:
    """S30 signed, answered again and signed again; S50 half signed; with evidence, a dissent and an accepted gap."""
    team = made.copy(tmp_path_factory.mktemp("story") / "answers.sqlite3")
    team.say("Z01", "zone:sis", "not-met")
    team.say("SEP1", "group:lt-501", evidence=OF_S50)
    answer_records.add_evidence(team.live, ANSWERS, ("SEP1", "group:pt-301"), EVIDENCE)
    answer_records.record_dissent(team.live, ANSWERS, ("SEP1", "group:pt-301"), DISSENT)
    answer_records.close_dissent(team.live, ANSWERS, ("SEP1", "group:pt-301"), who="TM-2", shown_by="photo 7")
    answer_records.record_attendance(team.live, LEADS, system="S30", on="2025-03-04", people=[("TM-1", "engineer")])
    accepted_gaps.accept_gaps(team.live, OWNS, [("S30", "sis", "Z01")], reason="locked and alarmed", until=ahead(90))
    team.signed()
    team.sign("safety", team.put_up("S50"))
    team.say("SEP1", "group:pt-301", "partly", evidence="walk-down 14")
    team.signed()
    return team


@pytest.fixture(scope="session")
def story_text(story: Team, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The record file of the second revision of S30."""
    return story.copy(tmp_path_factory.mktemp("handed") / "answers.sqlite3").export()


@pytest.fixture(scope="session")
def small_text(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The record file of S50, signed in the safety half only: small enough to change every place in it."""
    team = founded(tmp_path_factory.mktemp("small") / "answers.sqlite3", three_systems(), "safety")
    team.say("SEP1", "group:lt-501")
    team.say("Z01", "zone:sis")
    revision = team.put_up("S50")
    team.sign("safety", revision, conditions=("look again",), until=ahead(30))
    return team.export(revision)


@pytest.fixture(scope="module")
def story_data(story_text: str) -> Data:
    """That record file as data."""
    data: Data = json.loads(story_text)
    return data


@pytest.fixture
def data(story_data: Data) -> Data:
    """A copy that the test may change."""
    return deepcopy(story_data)
