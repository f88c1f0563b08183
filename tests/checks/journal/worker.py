"""A separate process that uses the store at the same time as others, by commands line by line."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from checks.access.roles import MEMBER, Person
from checks.journal.store import Store
from checks.recording import answering
from checks.recording.answering import AnsweredMeanwhile
from checks.state.live import Live
from tests.checks.given import ROOT, answer
from tests.checks.journal.stored import save

OF = "group:pt-301"


def opened(url: str) -> list[str]:
    """Open a database; returns the names of its plants."""
    return list(Store(url).plants().values())


def raced(url: str, key: int, question: str, writers: Sequence[str]) -> list[dict[str, str]]:
    """Let writers answer one question at the same moment; returns for each whose answer is stored."""
    store = Store(url)

    def write(name: str) -> dict[str, str]:
        try:
            person = Person(name, frozenset({MEMBER}), writer=name)
            fields = answer(question, OF, evidence=f"seen by {name}").model_dump()
            answering.record(Live(store, key), person, fields, seen=0)
        except AnsweredMeanwhile as overtaken:
            return {"writer": name, "holds": overtaken.theirs.by}
        return {"writer": name, "holds": name}

    with ThreadPoolExecutor(len(writers)) as threads:
        return list(threads.map(write, writers))


def appended(url: str, key: int, name: str, count: int) -> list[int]:
    """Answer this many questions of its own; returns the acknowledged numbers."""
    store = Store(url)
    return [save(store, key, answer(f"{name}-{at}", OF), seen=0, writer=name).id for at in range(count)]


DOES = {"open": opened, "race": raced, "append": appended}


class Worker:
    """Handle of a worker process."""

    def __init__(self) -> None:
        command = [sys.executable, "-m", "tests.checks.journal.worker"]
        self._process = subprocess.Popen(  # noqa: S603
            command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, bufsize=1
        )
        self.answer()

    def tell(self, what: str, **arguments: Any) -> None:
        """Send it a command."""
        assert self._process.stdin is not None
        self._process.stdin.write(json.dumps([what, arguments]) + "\n")

    def answer(self) -> Any:
        """Its answer."""
        assert self._process.stdout is not None
        return json.loads(self._process.stdout.readline())

    def end(self) -> None:
        """End it."""
        self._process.communicate(timeout=60)


if __name__ == "__main__":
    print(json.dumps("ready"), flush=True)  # noqa: T201  (this is how it speaks)
    for line in sys.stdin:
        what, arguments = json.loads(line)
        print(json.dumps(DOES[what](**arguments)), flush=True)  # noqa: T201
