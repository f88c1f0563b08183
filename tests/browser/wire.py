"""The line between a browser and the server, bent so that a rare moment comes every time."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable

from playwright.sync_api import Page, WebSocketRoute
from streamlit.proto.BackMsg_pb2 import BackMsg

STREAM = "**/_stcore/stream"


def _looks_for_news(sent: str | bytes) -> bool:
    return isinstance(sent, bytes) and BackMsg.FromString(sent).rerun_script.is_auto_rerun


def without_news(page: Page) -> None:
    """Hold back the browser's looks for news, so that it keeps showing what it shows; what a person does goes out."""

    def pass_on(route: WebSocketRoute) -> None:
        server = route.connect_to_server()
        route.on_message(lambda sent: None if _looks_for_news(sent) else server.send(sent))

    page.route_web_socket(STREAM, pass_on)


class _Line(ABC):
    """A line between a page and the server that can be held: what is said meanwhile comes when it is released."""

    def __init__(self, page: Page) -> None:
        self.held: list[Callable[[], None]] | None = None
        page.route_web_socket(STREAM, self.between)

    def hold(self) -> None:
        """Keep from now on what is said."""
        self.held = []

    def release(self) -> None:
        """Let everything through that was kept, in one breath and in its order: what is said meanwhile comes last."""
        while self.held:
            self.held.pop(0)()
        self.held = None

    @abstractmethod
    def between(self, page: WebSocketRoute) -> None:
        """Connect both ends."""


class Late(_Line):
    """Holds back, while it is told to, what the server says to a page; what the page says goes out."""

    looks = 0
    """Looks for news since the server said something that is held back."""

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

    @property
    def said(self) -> int:
        """How many messages are held back."""
        return len(self.held or ())

    def between(self, page: WebSocketRoute) -> None:
        """Connect both ends."""
        server = page.connect_to_server()

        def to_server(said: str | bytes) -> None:
            if self.held is None:
                server.send(said)
            elif not _looks_for_news(said):
                self.held.append(lambda: server.send(said))

        page.on_message(to_server)
