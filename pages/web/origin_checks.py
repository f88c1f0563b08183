"""Who may talk to the server at all: checked for every request and socket, before Streamlit sees it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from urllib.parse import quote, unquote, urlsplit

from pages.web.run_mode import CALLBACK, LOOPBACK
from pages.web.security_headers import Application, Message, Receive, Send

REFUSED = "refused"
"""Query parameter of the address to which a sign-in leads that was not taken."""
CLOSED = ("/_stcore/metrics",)
"""Paths that a server does not show: who is connected is nobody's business."""
SIGNED = b"_streamlit_user"
"""How the names of the cookies begin that Streamlit keeps a sign-in in."""
WANTED = "shared_cause_wanted"
"""Cookie that remembers during a sign-in where somebody wanted to go."""
_LIFE = re.compile(rb";\s*(max-age=[1-9][0-9]*|expires=[^;]*)", re.IGNORECASE)


def header(scope: Message, name: bytes) -> str:
    """A header of a request; empty where it is not there."""
    return next((value.decode("latin-1") for key, value in scope["headers"] if key == name), "")


def _host(named: str) -> str:
    """Host without port of a Host header or an address; empty where it is none."""
    try:
        return urlsplit(f"//{named}").hostname or ""
    except ValueError:
        return ""


async def _turn_away(scope: Message, send: Send, status: int, said: str) -> None:
    if scope["type"] == "websocket":
        await send({"type": "websocket.close", "code": 1008})
        return
    headers = [(b"content-type", b"text/plain; charset=utf-8")]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": said.encode()})


class OneMachine:
    """Without sign-in: answers on loopback only, to loopback names only, and opens sockets for its own pages only.

    A page from elsewhere whose name was made to point at this machine carries its own name, and gets nothing.
    """

    def __init__(self, app: Application) -> None:
        self.app = app

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Pass on what comes from this machine."""
        if scope["type"] != "lifespan" and not self._own(scope):
            await _turn_away(scope, send, 403, "This program answers on its own machine only.\n")
            return
        await self.app(scope, receive, send)

    @staticmethod
    def _own(scope: Message) -> bool:
        listening, named = (scope.get("server") or ("",))[0], header(scope, b"host")
        own = listening in LOOPBACK and _host(named) in LOOPBACK
        return own and (
            scope["type"] != "websocket" or header(scope, b"origin") in (f"http://{named}", f"https://{named}")
        )


class Server:
    """With sign-in: opens sockets for its own pages only, hardens cookies, and leads people back after the sign-in.

    ``origin`` is the address under which people reach it, as ``https://host:port``.
    """

    def __init__(self, app: Application, origin: str) -> None:
        self.app, self.origin = app, origin

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Pass on what may come in, and mend what goes out."""
        if scope["type"] == "websocket" and header(scope, b"origin") != self.origin:
            await _turn_away(scope, send, 403, "")
        elif scope["type"] == "http" and scope["path"].rstrip("/").endswith(CLOSED):
            await _turn_away(scope, send, 404, "Not found.\n")
        elif scope["type"] == "http":

            async def mended(message: Message) -> None:
                if message["type"] == "http.response.start":
                    message["headers"] = list(_mended(scope, message["status"], message.get("headers", ())))
                await send(message)

            await self.app(scope, receive, mended)
        else:
            await self.app(scope, receive, send)


def _mended(scope: Message, status: int, headers: Iterable[tuple[bytes, bytes]]) -> Iterable[tuple[bytes, bytes]]:
    held = [(name.lower(), value) for name, value in headers]
    back = scope["path"].endswith(CALLBACK) and status == 302
    for name, value in held:
        if name == b"set-cookie":
            yield name, _hardened(value)
        elif name == b"location" and back:
            yield name, _onward(scope, value, held)
        else:
            yield name, value
    if back:
        yield b"set-cookie", f"{WANTED}=; Path=/; Max-Age=0; HttpOnly; SameSite=Lax; Secure".encode()
    elif status == 200 and _is_page(scope, held):
        yield b"set-cookie", _remember(scope)


def _hardened(cookie: bytes) -> bytes:
    """A cookie that travels encrypted only; a sign-in is forgotten with the browser's window, not after 30 days."""
    if cookie.startswith(SIGNED):
        cookie = _LIFE.sub(b"", cookie) if b"max-age=0" not in cookie.lower() else cookie
    return cookie if b"; secure" in cookie.lower() else cookie + b"; Secure"


def _is_page(scope: Message, headers: list[tuple[bytes, bytes]]) -> bool:
    html = any(name == b"content-type" and value.startswith(b"text/html") for name, value in headers)
    return html and scope["method"] == "GET" and REFUSED.encode() not in scope["query_string"]


def _remember(scope: Message) -> bytes:
    """The cookie that says which page was asked for."""
    asked = scope.get("raw_path", scope["path"].encode()).decode("latin-1")
    asked += f"?{scope['query_string'].decode('latin-1')}" if scope["query_string"] else ""
    kept = quote(asked, safe="") if len(asked) < 1500 else "%2F"
    return f"{WANTED}={kept}; Path=/; Max-Age=900; HttpOnly; SameSite=Lax; Secure".encode()


def _onward(scope: Message, base: bytes, headers: list[tuple[bytes, bytes]]) -> bytes:
    """Where somebody goes from here: where they wanted to, or back with word that the sign-in was refused."""
    if not any(
        name == b"set-cookie" and value.startswith(SIGNED + b"=") and b"max-age=0" not in value.lower()
        for name, value in headers
    ):
        tried = re.search(rb"(^|&)(code|error)=", scope["query_string"])
        return base + f"?{REFUSED}=1".encode() if tried else base
    cookies = (one.strip().partition("=") for one in header(scope, b"cookie").split(";"))
    wanted = unquote(next((value for name, _, value in cookies if name == WANTED), ""))
    own = re.fullmatch(r"/(?![/\\])[\x21-\x7e]*", wanted) is not None
    return wanted.encode() if own else base
