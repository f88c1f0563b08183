"""Host and origin checks (ASGI middleware) of every request and socket, before Streamlit sees it."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import urlsplit

from pages.web import cookies
from pages.web.run_mode import LOOPBACK
from pages.web.security_headers import Application, Message, Receive, Send

CLOSED = ("/_stcore/metrics",)
"""Paths that a server does not serve: they would disclose who is connected."""
SIGN_OUT = "/auth/logout"
"""Path at which Streamlit removes the cookies of a sign-in, even where another site sent the browser there."""


def _host(authority: str) -> str:
    """Host without port of a Host header or an address; empty if invalid."""
    try:
        return urlsplit(f"//{authority}").hostname or ""
    except ValueError:
        return ""


async def _reject(scope: Message, send: Send, status: int, text: str) -> None:
    if scope["type"] == "websocket":
        await send({"type": "websocket.close", "code": 1008})
        return
    headers = [(b"content-type", b"text/plain; charset=utf-8")]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": text.encode()})


class OneMachine:
    """Without sign-in: serves loopback addresses and loopback host names only, and opens sockets for its own pages only.

    This stops DNS rebinding: a foreign page whose name resolves to this machine still sends its own host name.
    """

    def __init__(self, app: Application) -> None:
        self.app = app

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Pass on requests from this machine; reject others with status 403."""
        if scope["type"] != "lifespan" and not self._is_local(scope):
            await _reject(scope, send, 403, "This program answers on its own machine only.\n")
            return
        await self.app(scope, receive, send)

    @staticmethod
    def _is_local(scope: Message) -> bool:
        address, host = (scope.get("server") or ("",))[0], cookies.header(scope, b"host")
        local = address in LOOPBACK and _host(host) in LOOPBACK
        return local and (
            scope["type"] != "websocket" or cookies.header(scope, b"origin") in (f"http://{host}", f"https://{host}")
        )


class Server:
    """With sign-in: opens sockets for its own pages only, hardens cookies, returns to the requested page.

    ``origin`` is the address under which people reach it, as ``https://host:port``. ``signed_in`` says whether a request
    carries a valid sign-in: the button that signs out ends it first, so where it is valid, another site sent the request.
    """

    def __init__(self, app: Application, origin: str, signed_in: Callable[[Message], bool]) -> None:
        self.app, self.origin, self.signed_in = app, origin, signed_in

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Pass on permitted requests, and adjust the headers of the answers."""
        if scope["type"] == "websocket" and cookies.header(scope, b"origin") != self.origin:
            await _reject(scope, send, 403, "")
        elif scope["type"] == "http" and scope["path"].rstrip("/").endswith(CLOSED):
            await _reject(scope, send, 404, "Not found.\n")
        elif scope["type"] == "http" and scope["path"].rstrip("/").endswith(SIGN_OUT) and self.signed_in(scope):
            await _reject(scope, send, 403, "You are still signed in. Sign out with the button at the top right.\n")
        elif scope["type"] == "http":

            async def with_cookies(message: Message) -> None:
                if message["type"] == "http.response.start":
                    message["headers"] = list(cookies.adjusted(scope, message["status"], message.get("headers", ())))
                await send(message)

            await self.app(scope, receive, with_cookies)
        else:
            await self.app(scope, receive, send)
