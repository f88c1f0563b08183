"""Results that are computed in a thread of their own, so that a screen is drawn at once and completed later."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Lock
from typing import Any, TypeVar

Result = TypeVar("Result")


class Later:
    """Results by key, computed one after the other, each once; the ``most`` that were asked for last are kept."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._thread = ThreadPoolExecutor(max_workers=1, thread_name_prefix="computed later")
        self._results: OrderedDict[str, Future[object]] = OrderedDict()
        self._lock = Lock()

    def known(self, key: str) -> Future[Any] | None:
        """The result of a key, computed or not; None if nobody has asked for it yet."""
        with self._lock:
            if key in self._results:
                self._results.move_to_end(key)
            return self._results.get(key)

    def ask(self, key: str, compute: Callable[[], Result]) -> Future[Result]:
        """The result of a key, to be computed if nobody has asked for it yet.

        ``result()`` of what is returned waits for it, and raises what ``compute`` raised.
        """
        with self._lock:
            if key not in self._results:
                self._results[key] = self._thread.submit(compute)
            self._results.move_to_end(key)
            while len(self._results) > self._most:
                self._results.popitem(last=False)[1].cancel()
            return self._results[key]  # type: ignore[return-value]
