"""Uploads and downloads (ASGI middleware): who may, how much is kept, that no browser stores what it was handed; and files being built.

Streamlit keeps every uploaded file in memory until its browser session ends, and takes a file from anybody who knows a session.
"""

from __future__ import annotations

import asyncio
import re
from collections.abc import Callable
from time import monotonic
from typing import cast
from weakref import WeakValueDictionary

import streamlit as st
from streamlit.runtime import Runtime
from streamlit.runtime.memory_uploaded_file_manager import MemoryUploadedFileManager

from pages.web.security_headers import Application, Message, Receive, Send

MOST_FILES = 6
"""Uploaded files kept for one browser session; the oldest give way."""
LARGEST_FILES = 2
"""How many files of the largest size allowed may be kept for one browser session."""
NO_STORE = (b"cache-control", b"no-store")
NOT_SIGNED_IN = b"Sign in to continue.\n"
_UPLOAD = re.compile(r"/_stcore/upload_file/([^/]+)/[^/]+/?$")

May = Callable[[Message], bool]
"""Whether the sender of a request may upload and download."""


def anybody(_scope: Message) -> bool:
    """On one machine nobody signs in."""
    return True


async def _refuse(send: Send) -> None:
    headers = [(b"content-type", b"text/plain; charset=utf-8"), NO_STORE]
    await send({"type": "http.response.start", "status": 403, "headers": headers})
    await send({"type": "http.response.body", "body": NOT_SIGNED_IN})


class Uploads:
    """Passes on the uploads of those who ``may``: one at a time for a browser session, and keeps MOST_FILES of them."""

    def __init__(self, app: Application, may: May) -> None:
        self.app, self.may = app, may
        self._locks: WeakValueDictionary[str, asyncio.Lock] = WeakValueDictionary()

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Pass a request on, an upload after making room for it; status 403 where its sender may not upload."""
        upload = _UPLOAD.search(scope["path"]) if scope["type"] == "http" else None
        if upload is None:
            await self.app(scope, receive, send)
        elif not self.may(scope):
            await _refuse(send)
        elif scope["method"] == "PUT":
            lock = self._locks.setdefault(upload[1], asyncio.Lock())
            async with lock:
                make_room(_manager(), upload[1], st.get_option("server.maxUploadSize") * 1024 * 1024)
                await self.app(scope, receive, send)
        else:
            await self.app(scope, receive, send)


def _manager() -> MemoryUploadedFileManager:
    return cast("MemoryUploadedFileManager", Runtime.instance().uploaded_file_mgr)


def make_room(manager: MemoryUploadedFileManager, session: str, largest: int) -> None:
    """Forget the oldest files of a browser session until one of ``largest`` bytes fits beside the others."""
    files = manager.file_storage.get(session, {})
    while files and (
        len(files) >= MOST_FILES or sum(len(file.data) for file in files.values()) > (LARGEST_FILES - 1) * largest
    ):
        manager.remove_file(session, next(iter(files)))


class Downloads:
    """Hands files out to those who ``may`` only, and says that no browser or proxy may store them."""

    def __init__(self, app: Application, may: May) -> None:
        self.app, self.may = app, may

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Pass a request on; an answer that is a file to save becomes status 403 where its reader may not have it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        refused = False

        async def guarded(message: Message) -> None:
            nonlocal refused
            if message["type"] == "http.response.start" and _is_file(message):
                if not self.may(scope):
                    refused = True
                    await _refuse(send)
                    return
                others = [pair for pair in message["headers"] if pair[0].lower() != NO_STORE[0]]
                message["headers"] = [*others, NO_STORE]
            if not refused:
                await send(message)

        await self.app(scope, receive, guarded)


def _is_file(message: Message) -> bool:
    return any(
        name.lower() == b"content-disposition" and value.startswith(b"attachment")
        for name, value in message.get("headers", ())
    )


class Building:
    """Counts the files that are built for a browser session; for ``AFTER`` [s] more the browser fetches the last one.

    Drawing a screen again meanwhile would break off the download.
    """

    AFTER = 2.0

    def __init__(self) -> None:
        self._running, self._until = 0, 0.0

    def __enter__(self) -> None:
        self._running += 1

    def __exit__(self, *_: object) -> None:
        self._running, self._until = self._running - 1, monotonic() + self.AFTER

    @property
    def lasts(self) -> bool:
        """Whether a file is being built or fetched."""
        return self._running > 0 or monotonic() < self._until
