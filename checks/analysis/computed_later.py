"""Results that are computed in a thread of their own, so that a screen is drawn at once and completed later."""

from __future__ import annotations

import logging
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
        """The result of a key, computed or not; None if nobody has asked for it yet, or it failed."""
        with self._lock:
            future = self._kept(key)
            if future is not None:
                self._results.move_to_end(key)
            return future

    def ask(self, key: str, compute: Callable[[], Result]) -> Future[Result]:
        """The result of a key, to be computed if nobody has asked for it yet.

        ``result()`` of what is returned waits for it, and raises what ``compute`` raised. After a failure, which is
        logged, it is computed again: what failed, such as the store, may be back.
        """
        with self._lock:
            if self._kept(key) is None:
                self._results[key] = self._thread.submit(compute)
                self._results[key].add_done_callback(_log)
            self._results.move_to_end(key)
            while len(self._results) > self._most:
                self._results.popitem(last=False)[1].cancel()
            return self._results[key]  # type: ignore[return-value]

    def _kept(self, key: str) -> Future[object] | None:
        """The result of a key unless it failed; the caller holds the lock."""
        future = self._results.get(key)
        return None if future is None or has_failed(future) else future


def has_failed(future: Future[Any]) -> bool:
    """Whether there will be no result."""
    return future.cancelled() or (future.done() and future.exception() is not None)


def _log(future: Future[object]) -> None:
    if not future.cancelled() and (error := future.exception()) is not None:
        logging.getLogger(__name__).error("A result that a screen awaits failed", exc_info=error)
