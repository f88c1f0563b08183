"""Streamlit's offer to install a helper into the program's folder, where the server opens a browser of its own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.screens import visit
from tests.browser.server import ROOT, Server
from tests.browser.signed import running
from tests.browser.sockets import session, session_id

OFFERED_TO = ".agents"
"""A folder in the home of those to whom it is offered (``_HARNESSES`` in streamlit/web/skills.py)."""


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("home")
    (home / OFFERED_TO).mkdir()
    return home


@pytest.fixture(scope="module")
def desktop(home: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server on a desktop: started not headless, with a browser to open that does nothing."""
    with running(Server(tmp_path_factory.mktemp("desktop"), headless=False, HOME=str(home), BROWSER="true")) as server:
        yield server


def _files(folder: Path) -> set[Path]:
    return {path for path in folder.iterdir() if path.name not in (".pytest_cache", ".mypy_cache", ".ruff_cache")}


def test_no_box_offers_to_install_something_and_the_address_is_printed(desktop: Server, page: Page) -> None:
    visit(page, desktop, "/")
    expect(page.get_by_role("button", name="Install")).to_have_count(0)
    with session(desktop) as other:
        first = [message for message in other.ask(rerun_script={}) if message.WhichOneof("type") == "new_session"]
    assert not any(message.new_session.initialize.recommend_skills_install for message in first)
    assert f"Shared-Cause Review is at {desktop.url}/" in desktop.said()
    assert "streamlit skills" not in desktop.said()


def test_a_request_to_install_it_writes_nothing(desktop: Server, home: Path) -> None:
    before = _files(ROOT) | _files(home) | _files(home / OFFERED_TO)
    with session(desktop) as other:
        own = session_id(other.ask(rerun_script={}))
        for deed in ("install_skills", "dismiss_skills_nudge"):
            request = {"request_id": "r", "session_id": own, deed: {}}
            (answer,) = other.ask(backend_operation_request=request)
            assert answer.backend_operation_response.error_msg == "This program does not do that."
    assert _files(ROOT) | _files(home) | _files(home / OFFERED_TO) == before
