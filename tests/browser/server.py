"""A server of the application in its own process, with its own port and database."""

from __future__ import annotations

import os
import re
import socket
import subprocess
import sys
import time
from contextlib import suppress
from http.client import HTTPConnection, HTTPException, HTTPResponse
from pathlib import Path

from checks.events.answering.answer import StoredAnswer
from checks.journal.event import Event
from checks.journal.store import Store
from tests import demo_database
from tests.checks.journal.stored import history

ROOT = Path(__file__).parents[2]
HOST = "127.0.0.1"
START_WITHIN = 90.0
STOP_WITHIN = 20.0
STORED_WITHIN = 20.0


_PORTS: list[int] = [0]
"""Ports of this process so far, and 0 for a new one."""


def free_port() -> int:
    """A free port, one used before where possible: the browser then has what its pages load, at the same address."""
    for port in _PORTS:
        with socket.socket() as free, suppress(OSError):
            free.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            free.bind((HOST, port))
            found = int(free.getsockname()[1])
            if port == 0:
                _PORTS.insert(-1, found)
            return found
    raise AssertionError("no port is free")


class Server:
    """``streamlit run app.py`` as a person starts it; can be killed and started again on the same database and port.

    A database that is not there yet gets the demo plant, unless it is to begin ``empty``.
    """

    def __init__(self, folder: Path, *, empty: bool = False, headless: bool = True, **variables: str) -> None:
        self.variables, self.headless = variables, headless
        self._file, self._empty = folder / "answers.sqlite3", empty
        self.database = f"sqlite:///{self._file}"
        self.log = folder / "server.log"
        self.port = free_port()
        self.url = f"http://{HOST}:{self.port}"
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start it and wait for its first answer."""
        if not self._empty and not self._file.exists():
            demo_database.written(self._file)
        command = [sys.executable, "-m", "streamlit", "run", "app.py", "--server.port", str(self.port)]
        command += ["--server.headless", str(self.headless).lower()]
        with self.log.open("ab") as log:
            self._process = subprocess.Popen(  # noqa: S603  (our own command line)
                command,
                cwd=ROOT,
                env={**os.environ, "SHARED_CAUSE_DB": self.database, **self.variables},
                stdout=log,
                stderr=subprocess.STDOUT,
            )
        deadline = time.monotonic() + START_WITHIN
        while not self._healthy():
            assert self._process.poll() is None, f"the server ended at its start:\n{self.said()}"
            assert time.monotonic() < deadline, f"the server does not answer:\n{self.said()}"
            time.sleep(0.1)

    def _healthy(self) -> bool:
        with suppress(OSError, HTTPException):
            return self.get("/_stcore/health").status == 200
        return False

    def get(self, path: str) -> HTTPResponse:
        """The response to a plain request, with its body read."""
        connection = HTTPConnection(HOST, self.port, timeout=20)
        try:
            connection.request("GET", path)
            answer = connection.getresponse()
            answer.read()
            return answer
        finally:
            connection.close()

    def kill(self) -> None:
        """Kill it without cleanup, as a power cut does."""
        assert self._process is not None
        self._process.kill()
        self._process.wait(STOP_WITHIN)

    def stop(self) -> None:
        """Stop it as a person does; it must end by itself."""
        if self._process is None or self._process.poll() is not None:
            return
        self._process.terminate()
        try:
            self._process.wait(STOP_WITHIN)
        except subprocess.TimeoutExpired:
            self.kill()

    def said(self) -> str:
        """Its terminal output."""
        return self.log.read_text(encoding="utf-8", errors="replace") if self.log.exists() else ""

    def complaints(self) -> list[str]:
        """Errors in its terminal output that no screen shows."""
        return re.findall(r"^(?:Traceback .*|\S*(?:Error|Exception)\b.*)$", self.said(), flags=re.MULTILINE)

    def history(self, question: str, of: str, *, plant: int = 1) -> list[StoredAnswer]:
        """All answers to a question for an addressee, read from the database directly."""
        store = Store(self.database)
        try:
            return history(store, plant, question, of)
        finally:
            store.engine.dispose()

    def events(self, *kinds: str, plant: int = 1) -> list[Event]:
        """Events of these kinds, read from the database directly."""
        store = Store(self.database)
        try:
            return store.events(plant, kinds=kinds)
        finally:
            store.engine.dispose()

    def wait_for_answer(self, question: str, of: str, value: str) -> list[StoredAnswer]:
        """The history once its last answer has this value: a screen shows a choice before the server stores it."""
        deadline = time.monotonic() + STORED_WITHIN
        while True:
            history = self.history(question, of)
            if history and history[-1].answer.value == value:
                return history
            assert time.monotonic() < deadline, f"{question} of {of} is not {value}: {history}"
            time.sleep(0.1)
