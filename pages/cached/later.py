"""Results that are computed later, and what the present run of a screen is drawn without."""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Future
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any, TypeVar

from checks.analysis.computed_later import Later, has_failed

Result = TypeVar("Result")
STARTING = threading.Event()
"""Set while the bands of the first screen are being computed."""
_later = Later(2_000)


def warming() -> bool:
    """Whether the bands of the first screen are being computed: it is drawn without them meanwhile, and once more then."""
    return STARTING.is_set()


@dataclass(frozen=True, slots=True)
class Awaited:
    """What a run of a screen is drawn without: computed once it is drawn, so that no figure of it waits for them."""

    asked: list[tuple[str, Callable[[], Any]]] = field(default_factory=list)
    results: list[Future[Any]] = field(default_factory=list)

    def start(self) -> None:
        """Let it be computed, once."""
        while self.asked:
            self.results.append(ask(*self.asked.pop(0)))

    @property
    def there(self) -> bool:
        """Whether some of it is there now."""
        return any(each.done() and not has_failed(each) for each in self.results)


_run: ContextVar[Awaited] = ContextVar("_run")


def begin() -> Awaited:
    """Begin a run of a screen: what it will be drawn without."""
    run = Awaited()
    _run.set(run)
    return run


def ask(key: str, compute: Callable[[], Result]) -> Future[Result]:
    """A result that is computed later, for which no screen waits."""
    return _later.ask(key, compute)


def awaited(key: str, compute: Callable[[], Result]) -> Future[Result]:
    """A result that is computed later; while it is not there, this screen waits for it to be drawn again."""
    future: Future[Result] | None = _later.known(key)
    if future is None or not future.done():
        _run.get(Awaited()).asked.append((key, compute))
    return Future() if future is None else future
