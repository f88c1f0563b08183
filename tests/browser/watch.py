"""What a browser may not do: ask another host for anything, log an error, break the content security policy."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import urlsplit
from weakref import WeakKeyDictionary

from playwright.sync_api import BrowserContext, ConsoleMessage, Page, Request, WebError, WebSocket

from tests.browser.server import HOST

OWN_SCHEMES = ("data", "blob")

KNOWN = (
    # On a deep link Streamlit looks for its server below the page first, then at the root.
    re.compile(r"status of 404 .* http://127\.0\.0\.1:\d+/[\w-]+/_stcore/(health|host-config)$"),
    # Streamlit's protobuf tries WebAssembly for long integers and does without where the policy forbids it.
    re.compile(r"content security policy: script-src wasm-eval http://127\.0\.0\.1:\d+/static/js/protobuf\."),
)

WHILE_AWAY = (
    # Logged for requests to a server that a test has stopped.
    re.compile(r"ERR_CONNECTION_(REFUSED|RESET)|ERR_EMPTY_RESPONSE|WebSocket connection to .* failed"),
    re.compile(r"WebSocket onerror|Cannot send rerun backMessage when disconnected"),
    re.compile(r"No response received when attempting to reach /_stcore/|Streamlit server is not responding"),
)

_TELL_VIOLATIONS = """document.addEventListener("securitypolicyviolation", (event) =>
  console.error(`content security policy: ${event.violatedDirective} ${event.blockedURI} ${event.sourceFile}`));"""


_WATCHES: WeakKeyDictionary[BrowserContext, Watch] = WeakKeyDictionary()


def watch_of(page: Page) -> Watch:
    """The watch of this page."""
    return _WATCHES[page.context]


class Watch:
    """Listens to all pages of a browser context and collects faults."""

    def __init__(self, context: BrowserContext) -> None:
        self.faults: list[str] = []
        self.bent = False
        """Whether a test changed the connection to the server or listens to it: such a page is not reused."""
        self._away = False
        _WATCHES[context] = self
        context.add_init_script(_TELL_VIOLATIONS)
        context.on("request", self._on_request)
        context.on("console", self._on_console)
        context.on("weberror", self._on_error)
        context.on("page", self._on_page)

    @contextmanager
    def server_away(self) -> Iterator[None]:
        """While the server is stopped, failed requests are no fault of the page."""
        self._away = True
        try:
            yield
        finally:
            self._away = False

    def _on_page(self, page: Page) -> None:
        page.on("websocket", self._on_socket)
        page.on("crash", lambda _: self.faults.append("the page crashed"))

    def _on_request(self, request: Request) -> None:
        self._look_at(request.url)

    def _on_socket(self, socket: WebSocket) -> None:
        self._look_at(socket.url)

    def _look_at(self, url: str) -> None:
        parts = urlsplit(url)
        if parts.scheme not in OWN_SCHEMES and parts.hostname != HOST:
            self.faults.append(f"request to another host: {url}")

    def _on_console(self, message: ConsoleMessage) -> None:
        if message.type != "error":
            return
        text = f"{message.text} {message.location.get('url', '')}".strip()
        known = (*KNOWN, *WHILE_AWAY) if self._away else KNOWN
        if not any(pattern.search(text) for pattern in known):
            self.faults.append(f"console: {text}")

    def _on_error(self, error: WebError) -> None:
        self.faults.append(f"script error: {error.error}")
