"""When failures are looked for: the instants of the tests, and at which of them a failure is found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import lcm
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scoring.units import Array, Hours

TICK = 1e-6
"""Instants are rounded to this fraction of an hour, so that two tests of one day are one instant."""


@dataclass(frozen=True, slots=True)
class Rhythm:
    """A test every ``interval`` [h], first at ``offset`` [h]; an offset of 0 means after one interval."""

    interval: Hours
    offset: Hours = 0.0

    def until(self, end: Hours) -> Array:
        """Instants after 0 and before ``end`` [h], in order."""
        first = self.offset or self.interval
        count = max(0, int(np.ceil((end - first) / self.interval)))
        instants = rounded(first + self.interval * np.arange(count))
        return instants[instants < end - TICK]


@dataclass(frozen=True, eq=False)
class Search:
    """Where a failure is looked for: ``starts`` [h] begins with 0, then has every instant of a test.

    ``found_at[i]``: index in ``starts`` of the instant at which a failure that occurs after ``starts[i]`` and before the next
    instant is found; the number of instants where no test finds it.
    """

    starts: Array
    found_at: NDArray[np.intp]


def rounded(hours: NDArray[np.floating[Any]]) -> Array:
    """Hours rounded to ticks."""
    return np.round(hours / TICK) * TICK


@lru_cache(maxsize=512)
def search(rhythms: tuple[Rhythm | None, ...], needed: int, end: Hours) -> Search:
    """The search for a failure that stays until ``needed`` different channels have been tested after it occurred.

    ``rhythms`` has one entry for each channel; None is a channel whose failure no test finds. Equal tests give the same object.

    >>> found = search((Rhythm(8.0), Rhythm(8.0, 4.0)), 2, 17.0)
    >>> [float(start) for start in found.starts], found.found_at.tolist()
    ([0.0, 4.0, 8.0, 12.0, 16.0], [2, 3, 4, 5, 5])
    """
    of_channel = [rhythm.until(end) if rhythm else np.empty(0) for rhythm in rhythms]
    starts = np.unique(np.concatenate([np.zeros(1), *of_channel]))
    next_test = np.empty((len(rhythms), len(starts)), np.intp)
    for channel, instants in enumerate(of_channel):
        at = np.searchsorted(starts, instants)
        following = np.searchsorted(at, np.arange(len(starts)), side="right")
        next_test[channel] = np.append(at, len(starts))[following]
    return Search(starts, np.sort(next_test, axis=0)[needed - 1])


def common_period(rhythms: Sequence[Rhythm | None], end: Hours) -> Hours | None:
    """The time after which all tests repeat [h]; None where they do not within ``end``, or where a failure is never found."""
    period = 1
    for rhythm in rhythms:
        if rhythm is None:
            return None
        period = lcm(period, round(rhythm.interval / TICK))
        if period * TICK > end:
            return None
    return period * TICK
