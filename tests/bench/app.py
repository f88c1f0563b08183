"""The app as a process of its own on a free port, and a real browser."""

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

from playwright.sync_api import Browser, Page, Playwright

from checks.journal.schema import VARIABLE
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
    """The app did not come up."""


@dataclass(frozen=True, slots=True)
class Running:
    """An app that listens: its address, when its start command was given, how long it took to listen [s], its process."""

    address: str
    begun: float
    listened: float
    process: int


def _free_port() -> int:
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        return int(held.getsockname()[1])


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
    """Run the app over the database at ``url``, or another ``script``; it is stopped at the end, whatever happens."""
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
    """Start the browser of the machine."""
    return playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)


@contextmanager
def page(held: Browser) -> Iterator[Page]:
    """Open a window with nothing cached."""
    context = held.new_context(bypass_csp=True, viewport={"width": 1280, "height": 900})
    context.set_default_timeout(LONGEST * 1000.0)
    opened = context.new_page()
    try:
        yield opened
    finally:
        context.close()
