"""The app in a separate process on a free port, and a real browser."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from time import perf_counter, sleep

from playwright.sync_api import Browser, BrowserContext, Page, Playwright

from checks.access.roles import TEAM
from checks.journal.schema import VARIABLE
from pages.web import remembered
from pages.web.remembered import Who
from tests.bench.command_line import ROOT

CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
LONGEST = 45.0


class AppFailed(RuntimeError):
    """The app did not start, or a screen did not respond."""


@dataclass(frozen=True, slots=True)
class Running:
    """A running app: address, time of its start command, time until it listened [s], process id."""

    address: str
    begun: float
    listened: float
    process: int


def _free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return int(listener.getsockname()[1])


def _listening(process: subprocess.Popen[bytes], port: int, begun: float) -> float:
    while perf_counter() - begun < LONGEST and process.poll() is None:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=0.5).close()
        except OSError:
            sleep(0.01)
        else:
            return perf_counter() - begun
    raise AppFailed(f"no app on port {port} after {LONGEST:g} s (exit status {process.poll()})")


@contextmanager
def running(url: str, script: str = "app.py") -> Iterator[Running]:
    """Run the app, or another ``script``, with the database at ``url``; it is always stopped at the end."""
    port = _free_port()
    command = [
        sys.executable,
        "-m",
        "streamlit",
        "run",
        script,
        "--server.port",
        str(port),
        "--server.headless",
        "true",
    ]
    with tempfile.TemporaryFile() as log:
        begun = perf_counter()
        process = subprocess.Popen(command, cwd=ROOT, env={**os.environ, VARIABLE: url}, stdout=log, stderr=log)
        try:
            yield Running(f"http://127.0.0.1:{port}", begun, _listening(process, port, begun), process.pid)
        finally:
            process.terminate()
            try:
                process.wait(10)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait(10)


def browser(playwright: Playwright) -> Browser:
    """Start the installed browser."""
    return playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)


def introduce(context: BrowserContext) -> None:
    """Let a browser know its person: an answer needs a name."""
    cookie = remembered.written(Who("TM-9", TEAM))
    context.add_cookies([{"name": remembered.COOKIE, "value": cookie, "url": "http://127.0.0.1"}])


@contextmanager
def page(chromium: Browser) -> Iterator[Page]:
    """Open a page with an empty cache, of somebody whom the browser knows."""
    context = chromium.new_context(bypass_csp=True, viewport={"width": 1280, "height": 900})
    introduce(context)
    context.set_default_timeout(LONGEST * 1000.0)
    opened = context.new_page()
    try:
        yield opened
    finally:
        context.close()
