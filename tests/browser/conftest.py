"""One Chromium a run, a server a module, a browser context a person. Screenshots of failures go to ``.shots/``."""

from __future__ import annotations

import re
import shutil
from collections.abc import Generator, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from tests.browser.provider import Provider
from tests.browser.screens import OpenPage
from tests.browser.server import Server
from tests.browser.watch import Watch

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
PATIENCE = 30_000.0
"""Milliseconds for which a wait holds on: generous, since other work may run on the machine."""
SHOTS = Path(__file__).parent / ".shots"
FAILED = pytest.StashKey[bool]()

expect.set_options(timeout=PATIENCE)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Note whether a test failed, so that its fixtures know at their end."""
    report = yield
    item.stash[FAILED] = item.stash.get(FAILED, False) or report.failed
    return report


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """The browser; a machine without it fails here."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


def _served(folder: Path) -> Iterator[Server]:
    server = Server(folder)
    server.start()
    yield server
    server.stop()
    assert not server.complaints(), f"the server wrote errors to its terminal:\n{server.said()}"


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server with the demo plant, shared by the tests of a module."""
    yield from _served(tmp_path_factory.mktemp("server"))


@pytest.fixture
def own_server(tmp_path: Path) -> Iterator[Server]:
    """A server with the demo plant for one test alone."""
    yield from _served(tmp_path)


@pytest.fixture
def open_page(chromium: Browser, request: pytest.FixtureRequest) -> Iterator[OpenPage]:
    """Open a page as another person: a browser context of its own, watched for requests outside and for errors."""
    opened: list[tuple[BrowserContext, Watch]] = []

    def opening(**options: Any) -> Page:
        context = chromium.new_context(**{"viewport": {"width": 1280, "height": 800}, "locale": "en-GB", **options})
        context.set_default_timeout(PATIENCE)
        watch = Watch(context)
        opened.append((context, watch))
        return context.new_page()

    yield opening
    if request.node.stash.get(FAILED, False):
        _shoot(request.node.name, [page for context, _ in opened for page in context.pages])
    for context, _ in opened:
        context.close()
    faults = [fault for _, watch in opened for fault in watch.faults]
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
    held = Provider()
    held.start()
    yield held
    held.stop()
