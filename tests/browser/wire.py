"""The line between a browser and the server, bent so that a rare moment comes every time."""

from __future__ import annotations

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


class Late:
    """Holds back, while it is told to, what the server says to a page; what the page says goes out."""

    def __init__(self, page: Page) -> None:
        self._held: list[Callable[[], None]] | None = None
        self.said = 0
        self.looks = 0
        page.route_web_socket(STREAM, self._between)

    def hold(self) -> None:
        """Keep from now on what the server says; counts its messages in ``said``, looks for news since in ``looks``."""
        self._held, self.said, self.looks = [], 0, 0

    def release(self) -> None:
        """Let the page hear everything."""
        held, self._held = self._held or [], None
        for one in held:
            one()

    def _between(self, page: WebSocketRoute) -> None:
        server = page.connect_to_server()

        def to_page(said: str | bytes) -> None:
            if self._held is None:
                page.send(said)
            else:
                self.said += 1
                self._held.append(lambda: page.send(said))

        def to_server(said: str | bytes) -> None:
            self.looks += self.said > 0 and _looks_for_news(said)
            server.send(said)

        server.on_message(to_page)
        page.on_message(to_server)


class Together:
    """Holds back, while it is told to, what a page says, and then passes it on in one breath."""

    def __init__(self, page: Page) -> None:
        self._held: list[Callable[[], None]] | None = None
        page.route_web_socket(STREAM, self._between)

    @property
    def said(self) -> int:
        """How many messages are held back; looks for news do not count."""
        return len(self._held or ())

    def hold(self) -> None:
        """Keep from now on what the page says."""
        self._held = []

    def release(self) -> None:
        """Let the server hear everything."""
        held, self._held = self._held or [], None
        for one in held:
            one()

    def _between(self, page: WebSocketRoute) -> None:
        server = page.connect_to_server()

        def to_server(said: str | bytes) -> None:
            if self._held is None:
                server.send(said)
            elif not _looks_for_news(said):
                self._held.append(lambda: server.send(said))

        page.on_message(to_server)
