"""A screen on a database of its own. The demo database is filled once and copied for each test."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import streamlit as st
from streamlit.components.v2 import manifest_scanner
from streamlit.testing.v1 import AppTest
from streamlit.util import calc_hash

from checks.access.roles import TEAM
from checks.journal.schema import VARIABLE
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from demo import load
from pages.cached import database
from pages.web.remembered import Who
from tests import demo_database
from tests.checks.journal.stored import import_plant
from tests.checks.team import Team, every_answer, founded, three_systems
from tests.pages.shown import Handed, Holding, OnScreen, Screen

ROOT = Path(__file__).parents[2]
SECONDS = 60
NAMED = "TM-9"
"""Name of the person at the screen."""


@pytest.fixture(scope="session", autouse=True)
def _looked_through_once() -> Iterator[None]:
    """Streamlit's test frame reads the metadata of every installed package for each test: half of the time it takes."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(manifest_scanner, "scan_component_manifests", cache(manifest_scanner.scan_component_manifests))
        yield


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with the demo plant in it, closed."""
    return demo_database.written(tmp_path_factory.mktemp("demo") / "demo.sqlite3")


def _forget() -> None:
    """Let the next run open the database that the variable names now."""
    database.store.clear()
    database.live.clear()


@pytest.fixture
def store(demo_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Store]:
    """The demo's store as another process sees it; screens work on the same file."""
    path = tmp_path / "answers.sqlite3"
    shutil.copyfile(demo_file, path)
    monkeypatch.setenv(VARIABLE, f"sqlite:///{path}")
    _forget()
    yield Store(f"sqlite:///{path}")
    _forget()


@pytest.fixture
def holding(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Holding]:
    """Put a plant, and nothing else, into a new database that screens work on."""

    def hold(plant: Plant) -> Store:
        url = f"sqlite:///{tmp_path / 'holding.sqlite3'}"
        monkeypatch.setenv(VARIABLE, url)
        _forget()
        opened = Store(url)
        import_plant(opened, plant, by="", writer="setup")
        return opened

    yield hold
    _forget()


@pytest.fixture
def screen() -> Screen:
    """Open a screen at its address, as a shared link does, as somebody whom the browser knows."""

    def opened(url_path: str, *, who: str = NAMED, **query: str) -> AppTest:
        at = AppTest.from_file(str(ROOT / "app.py"), default_timeout=SECONDS)
        at.session_state["own"] = {"introduced": Who(who, TEAM)}
        for name, value in query.items():
            at.query_params[name] = value
        at._page_hash = calc_hash(url_path)  # noqa: SLF001  (AppTest has no other way to a page given as a function)
        at.run()
        at._page_hash = ""  # noqa: SLF001  (from here on, wherever the screen leads)
        return at

    return opened


@pytest.fixture
def handed_over(monkeypatch: pytest.MonkeyPatch) -> Handed:
    """Click a download button of the last run, named by its file: what it hands over."""
    builds: dict[str, Callable[[], str | bytes]] = {}
    drawn = st.download_button

    def button(label: str, data: Callable[[], str | bytes], file_name: str, **more: Any) -> bool:
        builds[file_name] = data
        return drawn(label, data=data, file_name=file_name, **more)

    def click(file_name: str) -> bytes:
        built = builds[file_name]()
        return built.encode() if isinstance(built, str) else built

    monkeypatch.setattr(st, "download_button", button)
    return click


@pytest.fixture(scope="session")
def told() -> dict[str, Any]:
    """All figures of the demo as the command line prints them."""
    arguments = [sys.executable, "-m", "checks", "score", str(load.PLANT), "--json"]
    done = subprocess.run(arguments, cwd=ROOT, capture_output=True, check=True, timeout=SECONDS)  # noqa: S603
    found: dict[str, Any] = json.loads(done.stdout)
    return found


@pytest.fixture(scope="session")
def ready_file(tmp_path_factory: pytest.TempPathFactory) -> Team:
    """A plant of which S30 can be signed as it stands, with two signers' keys enrolled."""
    plant = three_systems().model_copy(update={"answers": every_answer()})
    return founded(tmp_path_factory.mktemp("ready") / "answers.sqlite3", plant, "safety", "security")


@pytest.fixture
def on_screen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[OnScreen]:
    """Copy a team's database for this test, and let the screens work on the copy."""

    def copied(made: Team) -> Team:
        path = tmp_path / "team.sqlite3"
        monkeypatch.setenv(VARIABLE, f"sqlite:///{path}")
        _forget()
        return made.copy(path)

    yield copied
    _forget()


@pytest.fixture
def team(ready_file: Team, on_screen: OnScreen) -> Team:
    """The ready plant in a database of its own, on which the screens work too."""
    return on_screen(ready_file)
