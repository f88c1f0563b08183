"""The connection between a browser and the server, controlled so that a rare timing occurs every time."""

from __future__ import annotations

import time
from abc import ABC, abstractmethod
from collections.abc import Callable

from playwright.sync_api import Page, WebSocketRoute
from streamlit.proto.BackMsg_pb2 import BackMsg

from tests.browser.watch import watch_of

STREAM = "**/_stcore/stream"
WITHIN = 60.0
"""Longest wait of a line [s]."""
LOOK_AGAIN = 20.0
"""Interval between two checks of what a line has received [ms]; the page keeps running meanwhile."""


def _looks_for_news(sent: str | bytes) -> bool:
    return isinstance(sent, bytes) and BackMsg.FromString(sent).rerun_script.is_auto_rerun


def _bend(page: Page, between: Callable[[WebSocketRoute], None]) -> None:
    watch_of(page).bent = True
    page.route_web_socket(STREAM, between)


def without_news(page: Page) -> None:
    """Hold back the polls of the browser, so that its screen stays as it is; actions of the person go out."""

    def pass_on(route: WebSocketRoute) -> None:
        server = route.connect_to_server()
        route.on_message(lambda sent: None if _looks_for_news(sent) else server.send(sent))

    _bend(page, pass_on)


def with_news_behind(page: Page) -> Callable[[], bool]:
    """Let a poll follow each action of a person, as a slow browser does; returns whether that is possible already."""
    looks: list[str | bytes] = []

    def pass_on(route: WebSocketRoute) -> None:
        server = route.connect_to_server()

        def to_server(sent: str | bytes) -> None:
            server.send(sent)
            if _looks_for_news(sent):
                looks[:] = [sent]
            else:
                for look in looks:
                    server.send(look)

        route.on_message(to_server)

    _bend(page, pass_on)
    return lambda: bool(looks)


class _Line(ABC):
    """A line between a page and the server that can be held: held messages are sent on release."""

    def __init__(self, page: Page) -> None:
        self.answers: list[Callable[[], None]] | None = None
        self._page = page
        _bend(page, self.between)

    def hold(self) -> None:
        """Hold all further messages."""
        self.answers = []

    def release(self) -> None:
        """Send all held messages in order; messages of the meantime come last."""
        while self.answers:
            self.answers.pop(0)()
        self.answers = None

    def _until(self, heard: Callable[[], int], times: int, what: str) -> None:
        """Wait until the line has received this many messages, for a limited time."""
        deadline = time.monotonic() + WITHIN
        while heard() < times:
            assert time.monotonic() < deadline, f"the line has heard {heard()} of {times} {what}"
            self._page.wait_for_timeout(LOOK_AGAIN)

    @abstractmethod
    def between(self, page: WebSocketRoute) -> None:
        """Connect both ends."""


class Late(_Line):
    """Holds messages of the server to a page on request; messages of the page go out."""

    looks = 0
    """Polls since the first held message of the server."""

    def wait_for_looks(self, times: int) -> None:
        """Wait until the page has polled this often without an answer."""
        self._until(lambda: self.looks, times, "looks for news")

    def between(self, page: WebSocketRoute) -> None:
        """Connect both ends."""
        server = page.connect_to_server()

        def to_page(message: str | bytes) -> None:
            if self.answers is None:
                page.send(message)
            else:
                self.answers.append(lambda: page.send(message))

        def to_server(message: str | bytes) -> None:
            self.looks += bool(self.answers) and _looks_for_news(message)
            server.send(message)

        server.on_message(to_page)
        page.on_message(to_server)


class Together(_Line):
    """Holds messages of a page on request; polls meanwhile are dropped."""

    def wait_for_said(self, times: int) -> None:
        """Wait until this many messages are held."""
        self._until(lambda: len(self.answers or ()), times, "messages")

    def between(self, page: WebSocketRoute) -> None:
        """Connect both ends."""
        server = page.connect_to_server()

        def to_server(message: str | bytes) -> None:
            if self.answers is None:
                server.send(message)
            elif not _looks_for_news(message):
                self.answers.append(lambda: server.send(message))

        page.on_message(to_server)
