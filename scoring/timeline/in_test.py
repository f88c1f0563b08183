"""What the tests of a group do to it: time in test, and tests that leave it failed."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import numpy as np

from scoring.timeline.group import Error, InTest
from scoring.timeline.instants import TICK
from scoring.timeline.times import Times
from scoring.units import Array, Hours


def edges(windows: Iterable[InTest], end: Hours) -> list[Array]:
    """When each time in test begins and ends, up to ``end`` [h]."""
    begins = [window.test.until(end) + window.delay for window in windows]
    return [*begins, *(begin + window.duration for begin, window in zip(begins, windows, strict=True))]


@lru_cache(maxsize=2048)
def _out(times: Times, window: InTest) -> Array:
    """1 in the time in test and 0 outside it, as (times, 1). No stretch of times has an edge inside."""
    begins = window.test.until(times.end + TICK) + window.delay
    if not len(begins):
        return np.zeros((len(times.at), 1))
    last = np.searchsorted(begins, times.starts + TICK / 2.0, side="right") - 1
    out = (last >= 0) & (times.starts < begins[np.maximum(last, 0)] + window.duration - TICK / 2.0)
    return np.repeat(out.astype(float), len(times.nodes))[:, None]


def out_of_service(times: Times, windows: Iterable[InTest], channel: int | None) -> Array | None:
    """1 where a channel is in test (None: the group) and 0 elsewhere, as (times, 1); None where it is never."""
    found = [_out(times, window) for window in windows if window.channel == channel]
    return np.maximum.reduce(found) if found else None


def left_failed(times: Times, errors: Iterable[Error]) -> Array | None:
    """Probability that a test has left the group failed, as (times, 1); None without such tests.

    From the first test on it is the chance of an error, since each test ends what the one before has left.
    """
    up: Array | None = None
    for error in errors:
        sound = 1.0 - error.chance * _after(times, error)
        up = sound if up is None else up * sound
    return None if up is None else 1.0 - up


def failing(times: Times, errors: Iterable[Error]) -> Array | float:
    """Rate at which tests leave the group failed [1/h], as (times, 1): the chance, spread over the time between two tests."""
    rates = [
        _after(times, error) * error.chance * sum(1.0 / test.interval for test in set(error.tests)) for error in errors
    ]
    return np.add.reduce(rates) if rates else 0.0


def _after(times: Times, error: Error) -> Array:
    """1 from the first test on, as (times, 1)."""
    first = min(test.offset or test.interval for test in error.tests)
    return np.repeat((times.starts >= first - TICK / 2.0).astype(float), len(times.nodes))[:, None]
