"""Host and origin checks (ASGI middleware) of every request and socket, before Streamlit sees it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from urllib.parse import quote, unquote, urlsplit

from pages.web.run_mode import CALLBACK, LOOPBACK
from pages.web.security_headers import Application, Message, Receive, Send

REFUSED = "refused"
"""Query parameter of the address to which a failed sign-in leads."""
CLOSED = ("/_stcore/metrics",)
"""Paths that a server does not serve: they would disclose who is connected."""
SIGNED = b"_streamlit_user"
"""Prefix of the cookies in which Streamlit keeps a sign-in."""
WANTED = "shared_cause_wanted"
"""Cookie that keeps the requested address during a sign-in."""
_LIFE = re.compile(rb";\s*(max-age=[1-9][0-9]*|expires=[^;]*)", re.IGNORECASE)


def header(scope: Message, name: bytes) -> str:
    """A header of a request; empty if absent."""
    return next((value.decode("latin-1") for key, value in scope["headers"] if key == name), "")


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
        address, host = (scope.get("server") or ("",))[0], header(scope, b"host")
        local = address in LOOPBACK and _host(host) in LOOPBACK
        return local and (
            scope["type"] != "websocket" or header(scope, b"origin") in (f"http://{host}", f"https://{host}")
        )


class Server:
    """With sign-in: opens sockets for its own pages only, hardens cookies, returns to the requested page.

    ``origin`` is the address under which people reach it, as ``https://host:port``.
    """

    def __init__(self, app: Application, origin: str) -> None:
        self.app, self.origin = app, origin

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Pass on permitted requests, and adjust the headers of the answers."""
        if scope["type"] == "websocket" and header(scope, b"origin") != self.origin:
            await _reject(scope, send, 403, "")
        elif scope["type"] == "http" and scope["path"].rstrip("/").endswith(CLOSED):
            await _reject(scope, send, 404, "Not found.\n")
        elif scope["type"] == "http":

            async def adjusted(message: Message) -> None:
                if message["type"] == "http.response.start":
                    message["headers"] = list(_adjusted(scope, message["status"], message.get("headers", ())))
                await send(message)

            await self.app(scope, receive, adjusted)
        else:
            await self.app(scope, receive, send)


def _adjusted(scope: Message, status: int, headers: Iterable[tuple[bytes, bytes]]) -> Iterable[tuple[bytes, bytes]]:
    lowered = [(name.lower(), value) for name, value in headers]
    from_provider = scope["path"].endswith(CALLBACK) and status == 302
    for name, value in lowered:
        if name == b"set-cookie":
            yield name, _hardened(value)
        elif name == b"location" and from_provider:
            yield name, _target(scope, value, lowered)
        else:
            yield name, value
    if from_provider:
        yield b"set-cookie", f"{WANTED}=; Path=/; Max-Age=0; HttpOnly; SameSite=Lax; Secure".encode()
    elif status == 200 and _is_page(scope, lowered):
        yield b"set-cookie", _remember(scope)


def _hardened(cookie: bytes) -> bytes:
    """The cookie marked Secure; that of a sign-in becomes a session cookie instead of lasting 30 days."""
    if cookie.startswith(SIGNED):
        cookie = _LIFE.sub(b"", cookie) if b"max-age=0" not in cookie.lower() else cookie
    return cookie if b"; secure" in cookie.lower() else cookie + b"; Secure"


def _is_page(scope: Message, headers: list[tuple[bytes, bytes]]) -> bool:
    html = any(name == b"content-type" and value.startswith(b"text/html") for name, value in headers)
    return html and scope["method"] == "GET" and REFUSED.encode() not in scope["query_string"]


def _remember(scope: Message) -> bytes:
    """The cookie that keeps the requested address; a long address is replaced by the start page."""
    address = scope.get("raw_path", scope["path"].encode()).decode("latin-1")
    address += f"?{scope['query_string'].decode('latin-1')}" if scope["query_string"] else ""
    value = quote(address, safe="") if len(address) < 1500 else "%2F"
    return f"{WANTED}={value}; Path=/; Max-Age=900; HttpOnly; SameSite=Lax; Secure".encode()


def _target(scope: Message, base: bytes, headers: list[tuple[bytes, bytes]]) -> bytes:
    """Address after the sign-in: the requested one, or ``base`` with REFUSED if the sign-in failed."""
    if not any(
        name == b"set-cookie" and value.startswith(SIGNED + b"=") and b"max-age=0" not in value.lower()
        for name, value in headers
    ):
        tried = re.search(rb"(^|&)(code|error)=", scope["query_string"])
        return base + f"?{REFUSED}=1".encode() if tried else base
    cookies = (pair.strip().partition("=") for pair in header(scope, b"cookie").split(";"))
    wanted = unquote(next((value for name, _, value in cookies if name == WANTED), ""))
    on_this_server = re.fullmatch(r"/(?![/\\])[\x21-\x7e]*", wanted) is not None
    return wanted.encode() if on_this_server else base
