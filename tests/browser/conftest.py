"""One Chromium per run, one server per module, one seat per person. Screenshots of failures go to ``.shots/``."""

from __future__ import annotations

import re
import shutil
from collections.abc import Generator, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect, sync_playwright

from tests.browser.provider import Provider
from tests.browser.screens import OpenPage
from tests.browser.seats import NAMED, PATIENCE, Seat, Seats
from tests.browser.server import Server

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
LONGEST = ("every_screen", "who_sees_what", "signing_in", "start", "places", "walk", "markup_in_names")
"""Files of tests that take more than a minute, longest first."""
SHOTS = Path(__file__).parent / ".shots"
FAILED = pytest.StashKey[bool]()

expect.set_options(timeout=PATIENCE)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The files that take longest begin first (with ``--no-loadscope-reorder``): none is left over for one process alone."""
    order = {f"tests/browser/test_{name}.py": at for at, name in enumerate(LONGEST)}
    items.sort(key=lambda item: order.get(item.nodeid.partition("::")[0], len(order)))


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Record whether a test failed, for its fixtures at teardown."""
    report = yield
    item.stash[FAILED] = item.stash.get(FAILED, False) or report.failed
    return report


@pytest.fixture(scope="session")
def seats() -> Iterator[Seats]:
    """The seats in the browser; fails on a machine without the browser."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield Seats(browser)
        browser.close()


def _served(folder: Path, *, empty: bool = False) -> Iterator[Server]:
    server = Server(folder, empty=empty)
    server.start()
    yield server
    server.stop()
    assert not server.complaints(), f"the server wrote errors to its terminal:\n{server.said()}"


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server with the demo plant, shared by the tests of a module."""
    yield from _served(tmp_path_factory.mktemp("server"))


@pytest.fixture(scope="session")
def only_seen(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server with the demo plant for all tests that store nothing: to start one costs as much as to draw three screens."""
    yield from _served(tmp_path_factory.mktemp("seen"))


@pytest.fixture
def own_server(tmp_path: Path) -> Iterator[Server]:
    """A server with the demo plant for a single test."""
    yield from _served(tmp_path)


@pytest.fixture
def empty_server(tmp_path: Path) -> Iterator[Server]:
    """A server with a database that has no plant yet, for a single test."""
    yield from _served(tmp_path, empty=True)


@pytest.fixture
def open_page(seats: Seats, request: pytest.FixtureRequest) -> Iterator[OpenPage]:
    """Open a page as another person: a separate browser context, watched for outside requests and errors."""
    taken: list[Seat] = []

    def opening(*, known_as: str = NAMED, **options: Any) -> Page:
        taken.append(seats.take(known_as, **options))
        return taken[-1].page

    yield opening
    if request.node.stash.get(FAILED, False):
        _shoot(request.node.name, [page for seat in taken for page in seat.context.pages])
    faults = [fault for seat in taken for fault in seats.give_back(seat)]
    assert not faults, "what no page may do:\n" + "\n".join(faults)


@pytest.fixture
def page(open_page: OpenPage) -> Page:
    """A page of one person at a meeting-room projector."""
    return open_page()


def _shoot(name: str, pages: list[Page]) -> None:
    SHOTS.mkdir(exist_ok=True)
    file = re.sub(r"[^\w.-]+", "_", name)
    for at, page in enumerate(pages, start=1):
        page.screenshot(path=SHOTS / f"{file}-{at}.png")


@pytest.fixture(scope="module")
def provider() -> Iterator[Provider]:
    """An OpenID provider on loopback, shared by the tests of a module."""
    provider = Provider()
    provider.start()
    yield provider
    provider.stop()
