"""Cookies and redirects of a sign-in: marked Secure, kept for the browser session, and back to the requested page."""

from __future__ import annotations

import re
from collections.abc import Iterable
from urllib.parse import quote, unquote

from pages.web.run_mode import CALLBACK
from pages.web.security_headers import Message

REFUSED = "refused"
"""Query parameter of the address to which a failed sign-in leads."""
SIGNED = b"_streamlit_user"
"""Prefix of the cookies in which Streamlit keeps a sign-in."""
WANTED = "shared_cause_wanted"
"""Cookie that keeps the requested address during a sign-in."""
_LIFE = re.compile(rb";\s*(max-age=[1-9][0-9]*|expires=[^;]*)", re.IGNORECASE)


def header(scope: Message, name: bytes) -> str:
    """A header of a request; empty if absent."""
    return next((value.decode("latin-1") for key, value in scope["headers"] if key == name), "")


def adjusted(scope: Message, status: int, headers: Iterable[tuple[bytes, bytes]]) -> Iterable[tuple[bytes, bytes]]:
    """The headers of an answer with its cookies hardened, and after a sign-in with the address to go to."""
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
