"""Security headers (ASGI middleware) on every answer: pages load from and connect to this server only."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Awaitable, Callable, MutableMapping
from pathlib import Path
from typing import Any

import streamlit

Message = MutableMapping[str, Any]
Send = Callable[[Message], Awaitable[None]]
Receive = Callable[[], Awaitable[Message]]
Application = Callable[[Message, Receive, Send], Awaitable[None]]


def _inline_scripts() -> str:
    """Hashes of the inline scripts of Streamlit's page, so that no other inline script may run."""
    page = (Path(streamlit.__file__).parent / "static" / "index.html").read_text(encoding="utf-8")
    scripts = re.findall(r"<script(?![^>]*\bsrc=)[^>]*>(.*?)</script>", page, flags=re.DOTALL)
    hashes = (base64.b64encode(hashlib.sha256(script.encode()).digest()).decode() for script in scripts)
    return " ".join(f"'sha256-{digest}'" for digest in hashes)


POLICY = (
    f"default-src 'self'; script-src 'self' {_inline_scripts()}; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; "
    "font-src 'self' data:; connect-src 'self'; worker-src 'self' blob:; object-src 'none'; "
    "base-uri 'self'; form-action 'self'; frame-ancestors 'none'"
)
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"x-frame-options", b"DENY"),
    (b"cross-origin-opener-policy", b"same-origin"),
)


ENCRYPTED = ((b"strict-transport-security", b"max-age=31536000"),)
"""Further header of a server: use HTTPS only, for a year (seconds)."""


class SecurityHeaders:
    """ASGI middleware that adds HEADERS and ``more`` to every HTTP answer."""

    def __init__(self, app: Application, more: tuple[tuple[bytes, bytes], ...] = ()) -> None:
        self.app, self.headers = app, HEADERS + more

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Pass a request on and add the headers to the answer."""

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                names = {name for name, _ in self.headers}
                others = [pair for pair in message.get("headers", []) if pair[0].lower() not in names]
                message["headers"] = [*others, *self.headers]
            await send(message)

        await self.app(scope, receive, with_headers if scope["type"] == "http" else send)
