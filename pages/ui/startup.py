"""What the server does once at its start: open the store while the browser is still coming, and open the browser."""

from __future__ import annotations

import asyncio
import logging
import webbrowser
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

import streamlit as st

from checks.journal.errors import StoreUnavailable
from pages.ui import caches

SOON = 0.6
"""Seconds after which the server listens for certain."""


def _warm() -> None:
    """Compute the first screen's figures ahead of the first browser."""
    try:
        caches.warm()
    except StoreUnavailable as error:
        logging.getLogger(__name__).warning("%s", error)  # every screen says so too


def _open_browser() -> None:
    webbrowser.open(f"http://{st.get_option('browser.serverAddress')}:{st.get_option('server.port')}")


@asynccontextmanager
async def lifespan(_app: Any) -> AsyncIterator[None]:
    """Run around the life of the server."""
    loop = asyncio.get_running_loop()
    warming = loop.run_in_executor(None, _warm)
    if not st.get_option("server.headless"):
        loop.call_later(SOON, loop.run_in_executor, None, _open_browser)
    yield
    await warming
