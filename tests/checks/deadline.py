"""A time limit inside the process of the tests, for reading that must not hang."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Raise AssertionError where the block takes longer. Needs the main thread and a system with SIGALRM."""

    def late(*_: object) -> None:
        raise AssertionError(f"not done within {seconds} s")

    before = signal.signal(signal.SIGALRM, late)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0.0)
        signal.signal(signal.SIGALRM, before)
