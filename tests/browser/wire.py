"""The line between a browser and the server, bent so that a rare moment comes every time."""

from __future__ import annotations

import time
from abc import ABC, abstractmethod
from collections.abc import Callable

from playwright.sync_api import Page, WebSocketRoute
from streamlit.proto.BackMsg_pb2 import BackMsg

from tests.browser.watch import watch_of

STREAM = "**/_stcore/stream"
WITHIN = 60.0
"""Seconds after which what a line waits for does not come any more."""
LOOK_AGAIN = 20.0
"""Milliseconds between two looks at what a line has heard; the page goes on meanwhile."""


def _looks_for_news(sent: str | bytes) -> bool:
    return isinstance(sent, bytes) and BackMsg.FromString(sent).rerun_script.is_auto_rerun


def _bend(page: Page, between: Callable[[WebSocketRoute], None]) -> None:
    watch_of(page).bent = True
    page.route_web_socket(STREAM, between)


def without_news(page: Page) -> None:
    """Hold back the browser's looks for news, so that it keeps showing what it shows; what a person does goes out."""

    def pass_on(route: WebSocketRoute) -> None:
        server = route.connect_to_server()
        route.on_message(lambda sent: None if _looks_for_news(sent) else server.send(sent))

    _bend(page, pass_on)


def with_news_behind(page: Page) -> Callable[[], bool]:
    """Let a look for news follow everything that a person does, as a slow browser does; returns whether it can already."""
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
    """A line between a page and the server that can be held: what is said meanwhile comes when it is released."""

    def __init__(self, page: Page) -> None:
        self.held: list[Callable[[], None]] | None = None
        self._page = page
        _bend(page, self.between)

    def hold(self) -> None:
        """Keep from now on what is said."""
        self.held = []

    def release(self) -> None:
        """Let everything through that was kept, in one breath and in its order: what is said meanwhile comes last."""
        while self.held:
            self.held.pop(0)()
        self.held = None

    def _until(self, heard: Callable[[], int], times: int, what: str) -> None:
        """Wait until the line has heard something as often as this, and not for ever."""
        deadline = time.monotonic() + WITHIN
        while heard() < times:
            assert time.monotonic() < deadline, f"the line has heard {heard()} of {times} {what}"
            self._page.wait_for_timeout(LOOK_AGAIN)

    @abstractmethod
    def between(self, page: WebSocketRoute) -> None:
        """Connect both ends."""


class Late(_Line):
    """Holds back, while it is told to, what the server says to a page; what the page says goes out."""

    looks = 0
    """Looks for news since the server said something that is held back."""

    def wait_for_looks(self, times: int) -> None:
        """Until the page has looked for news as often as this without hearing an answer."""
        self._until(lambda: self.looks, times, "looks for news")

    def between(self, page: WebSocketRoute) -> None:
        """Connect both ends."""
        server = page.connect_to_server()

        def to_page(said: str | bytes) -> None:
            if self.held is None:
                page.send(said)
            else:
                self.held.append(lambda: page.send(said))

        def to_server(said: str | bytes) -> None:
            self.looks += bool(self.held) and _looks_for_news(said)
            server.send(said)

        server.on_message(to_page)
        page.on_message(to_server)


class Together(_Line):
    """Holds back, while it is told to, what a page says; looks for news meanwhile are dropped."""

    def wait_for_said(self, times: int) -> None:
        """Until as many messages are held back."""
        self._until(lambda: len(self.held or ()), times, "messages")

    def between(self, page: WebSocketRoute) -> None:
        """Connect both ends."""
        server = page.connect_to_server()

        def to_server(said: str | bytes) -> None:
            if self.held is None:
                server.send(said)
            elif not _looks_for_news(said):
                self.held.append(lambda: server.send(said))

        page.on_message(to_server)
