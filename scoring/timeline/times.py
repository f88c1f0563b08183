"""Times at which failures are evaluated, and where each lies between the tests that look for a failure."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from scoring.timeline.instants import Search
from scoring.units import Array, Hours

ROUND = 1e-9
"""Hours that are one time since the last test."""


@dataclass(frozen=True, eq=False)
class Times:
    """Times [h] as equal stretches: each of ``starts`` with each of ``nodes`` after it, before which no test is made.

    Two objects are never the same, so that what depends on them is found again by the object.
    """

    starts: Array
    nodes: Array

    @classmethod
    def single(cls, at: Array) -> Times:
        """Times in any pattern."""
        return cls(at, np.zeros(1))

    @cached_property
    def at(self) -> Array:
        """All times [h], start by start."""
        return np.asarray((self.starts[:, None] + self.nodes).ravel())

    @property
    def end(self) -> Hours:
        """The last time [h]."""
        return float(self.starts[-1] + self.nodes[-1])


@dataclass(frozen=True, slots=True)
class Place:
    """Where the starts lie: index of the last test before each, the different distances from it [h], and which each start has."""

    index: NDArray[np.intp]
    distances: Array
    distance_of: NDArray[np.intp]


@lru_cache(maxsize=2048)
def place(times: Times, search: Search) -> Place:
    """Where the starts lie between the instants of a search; kept, since groups with the same tests share it."""
    index = np.searchsorted(search.starts, times.starts, side="right") - 1
    distances, distance_of = np.unique(np.round((times.starts - search.starts[index]) / ROUND), return_inverse=True)
    return Place(index, distances * ROUND, distance_of)
