"""Security headers on every answer of the server: nothing may come from or go to anywhere else."""

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
    """Hashes of the scripts that stand in Streamlit's own page, so that these and no other inline script may run."""
    page = (Path(streamlit.__file__).parent / "static" / "index.html").read_text(encoding="utf-8")
    found = re.findall(r"<script(?![^>]*\bsrc=)[^>]*>(.*?)</script>", page, flags=re.DOTALL)
    hashes = (base64.b64encode(hashlib.sha256(one.encode()).digest()).decode() for one in found)
    return " ".join(f"'sha256-{one}'" for one in hashes)


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
)


ENCRYPTED = ((b"strict-transport-security", b"max-age=31536000"),)
"""What a server says besides: come back encrypted, for a year."""


class SecurityHeaders:
    """ASGI middleware that adds the headers to every HTTP answer, and ``more`` ones."""

    def __init__(self, app: Application, more: tuple[tuple[bytes, bytes], ...] = ()) -> None:
        self.app, self.headers = app, HEADERS + more

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Pass a request on and add the headers to what comes back."""

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                own = {name for name, _ in self.headers}
                kept = [pair for pair in message.get("headers", []) if pair[0].lower() not in own]
                message["headers"] = [*kept, *self.headers]
            await send(message)

        await self.app(scope, receive, with_headers if scope["type"] == "http" else send)
