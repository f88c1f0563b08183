"""Start-up of the server: compute the first screen in advance, and open the browser."""

from __future__ import annotations

import asyncio
import logging
import webbrowser
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

import streamlit as st

from checks.journal.errors import StoreUnavailable
from pages.cached import first_screen

OPEN_AFTER = 0.6
"""Seconds after which the server certainly listens."""


def _warm() -> None:
    """Compute the results of the first screen before the first browser connects."""
    try:
        first_screen.warm()
    except StoreUnavailable as error:
        logging.getLogger(__name__).warning("%s", error)  # every screen shows it too


def _announce() -> None:
    """Print the address, and open a browser there unless the server runs without one."""
    address = f"http://{st.get_option('browser.serverAddress')}:{st.get_option('server.port')}"
    address += f"/{st.get_option('server.baseUrlPath').strip('/')}"
    print(f"Shared-Cause Review is at {address}", flush=True)  # noqa: T201
    if not st.get_option("server.headless"):
        webbrowser.open(address)


@asynccontextmanager
async def lifespan(_app: Any) -> AsyncIterator[None]:
    """Lifespan of the ASGI application."""
    loop = asyncio.get_running_loop()
    warming = loop.run_in_executor(None, _warm)
    loop.call_later(OPEN_AFTER, loop.run_in_executor, None, _announce)
    yield
    await warming
