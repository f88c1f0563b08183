"""Results that are computed later, and what the present run of a screen is drawn without."""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Future
from contextvars import ContextVar
from typing import Any, TypeVar

from checks.analysis.computed_later import Later

Result = TypeVar("Result")
STARTING = threading.Event()
"""Set while the bands of the first screen are being computed."""
_later = Later(1_000)
_waits: ContextVar[list[Future[Any]]] = ContextVar("_waits")


def warming() -> bool:
    """Whether the bands of the first screen are being computed: it is drawn without them meanwhile, and once more then."""
    return STARTING.is_set()


def begin() -> list[Future[Any]]:
    """Begin a run of a screen: what it will be drawn without, since it is still being computed."""
    waits: list[Future[Any]] = []
    _waits.set(waits)
    return waits


def ask(key: str, compute: Callable[[], Result]) -> Future[Result]:
    """A result that is computed later, for which no screen waits."""
    return _later.ask(key, compute)


def awaited(key: str, compute: Callable[[], Result]) -> Future[Result]:
    """A result that is computed later; while it is not there, this screen waits for it to be drawn again."""
    future = ask(key, compute)
    if not future.done():
        _waits.get([]).append(future)
    return future
