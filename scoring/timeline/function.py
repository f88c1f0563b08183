"""A function over time: its groups at the same moment, so that tests on one day count together, and the means over the mission.

Values have one row for each time, or one row for a constant, and one column for each case, such as with and without common cause.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property, reduce

import numpy as np

from scoring.timeline.group import Group
from scoring.timeline.histories import history
from scoring.timeline.in_test import edges, out_of_service
from scoring.timeline.instants import Rhythm
from scoring.timeline.time_grid import Grid, grid_of, in_parts
from scoring.timeline.times import Times
from scoring.timeline.unavailability import either
from scoring.units import Array, Fractions, Hours

BEFORE: Hours = 1e-3
"""How long before a test the value before it is taken [h]."""
ALIKE = 1e-6
"""Relative difference of two peaks that are one value."""
Values = Callable[[Times], Array]
"""A value as (times, cases) from times."""


@dataclass(frozen=True)
class Part:
    """A group of a function: calculated, or where ``group`` is None with a constant PFD [-], at most 1, and PFH [1/h] as (1, cases).

    ``detected``: whether a detected failure counts as the last one.
    """

    group: Group | None
    constant: tuple[Array, Array]
    detected: bool = False

    def until(self, end: Hours) -> tuple[Values, Values]:
        """Probability of being down, and rate of failing [1/h], at times up to ``end`` [h]."""
        low, high = np.minimum(1.0, self.constant[0]), self.constant[1]
        if self.group is None:
            return lambda _: low, lambda _: high
        of_group = history(self.group, end)
        return of_group.down, lambda times: of_group.failing(times, detected=self.detected)


@dataclass(frozen=True)
class Entry:
    """One group, or alternatives of which any is enough, that share ``beta`` of the smallest of them, the same or by case."""

    parts: tuple[Part, ...]
    beta: Fractions = 0.0


@dataclass(frozen=True)
class _Evaluated:
    """Entries at the same times: of each its parts, PFD or PFH [1/h] by the demand, its own PFD and PFH, and the function."""

    parts: list[list[Array]]
    entries: list[Array]
    function: Array


class Function:
    """A function of entries over a mission [h], in low or high demand."""

    def __init__(self, entries: Sequence[Entry], mission: Hours, *, low: bool) -> None:
        self.entries, self.mission, self._low = tuple(entries), mission, low

    @property
    def groups(self) -> list[Group]:
        """The groups that are calculated."""
        return [part.group for entry in self.entries for part in entry.parts if part.group is not None]

    @property
    def is_in_test(self) -> bool:
        """Whether a whole group is ever in test."""
        return any(window.channel is None for group in self.groups for window in group.in_test)

    @cached_property
    def _grid(self) -> Grid:
        return grid_of(self.groups, self.mission)

    @property
    def times(self) -> int:
        """Number of times at which the function is evaluated for its means."""
        return sum(len(weights) for _, weights in self._grid.pieces)

    def rhythms(self) -> list[Rhythm | None]:
        """The tests of all groups; None for a share of failures that no test finds."""
        return [rhythm for group in self.groups for rhythm in group.rhythms()]

    def edges(self, end: Hours) -> Array:
        """When a time in test of any group or channel begins and ends, up to ``end`` [h]."""
        windows = [window for group in self.groups for window in group.in_test]
        return np.concatenate([np.empty(0), *edges(windows, end)])

    def at(self, at: Array) -> Array:
        """Probability of being down, or rate of failing [1/h] in high demand, at times [h], the last one last; as (times, cases).

        What alternatives share with each other is left out: it is known in the mean alone.
        """
        values = self._evaluated(float(at[-1]))(Times.single(at)).function
        return np.broadcast_to(values, (len(at), self._cases()))

    def peak(self) -> tuple[Array, Array]:
        """The highest probability of being down, or rate of failing [1/h], and when it is first reached [h]; as (cases).

        It is looked for just before and at each test and each edge of a time in test, and at the end; not while a group is in test.
        """
        windows = [window for group in self.groups for window in group.in_test]
        tests = [rhythm.until(self.mission) for rhythm in self.rhythms() if rhythm]
        instants = np.concatenate([*tests, self.edges(self.mission), np.array([self.mission])])
        at = np.unique(np.concatenate([instants, instants - BEFORE]))
        times = Times.single(at[(at >= 0.0) & (at <= self.mission)])
        in_test = out_of_service(times, windows, None)
        values = self._evaluated(self.mission)(times).function
        values = np.broadcast_to(values, (len(times.at), self._cases()))
        values = values if in_test is None else np.where(in_test, 0.0, values)
        highest = np.argmax(values >= values.max(axis=0) * (1.0 - ALIKE), axis=0)
        return values[highest, np.arange(values.shape[1])], times.at[highest]

    def means(self) -> tuple[list[Array], Array]:
        """PFDavg [-] or PFH [1/h] of each entry and of the function, as (cases)."""
        return self._with_shared(*self._unshared)

    def coinciding(self) -> list[Array]:
        """The same of each entry without what alternatives share with each other."""
        return list(self._unshared[1][: len(self.entries)])

    @cached_property
    def _unshared(self) -> tuple[Array, list[Array]]:
        """The function, each entry and each of their parts, without what alternatives share with each other."""
        evaluated, cases = self._evaluated(self._grid.end), self._cases()

        def columns(times: Times) -> Array:
            values = evaluated(times)
            listed = [values.function, *values.entries, *(part for parts in values.parts for part in parts)]
            return np.concatenate([np.broadcast_to(rows, (len(times.at), cases)) for rows in listed], axis=1)

        whole, *means = in_parts(self._grid, cases).mean(columns).reshape(-1, cases)
        return whole, means

    def _with_shared(self, whole: Array, means: list[Array]) -> tuple[list[Array], Array]:
        """The means of the entries and the function with what alternatives share with each other."""
        joined = either if self._low else np.add
        parts = iter(means[len(self.entries) :])
        shared = [entry.beta * np.minimum.reduce([next(parts) for _ in entry.parts]) for entry in self.entries]
        entries = [joined(mean, more) for mean, more in zip(means, shared, strict=False)]
        return entries, reduce(joined, shared, whole)

    def _cases(self) -> int:
        """Number of cases."""
        sizes = [int(np.size(value)) for group in self.groups for value in group.fractions()]
        return max([1, *sizes, *(int(part.constant[0].shape[1]) for entry in self.entries for part in entry.parts)])

    def _evaluated(self, end: Hours) -> Callable[[Times], _Evaluated]:
        values = [[part.until(end) for part in entry.parts] for entry in self.entries]

        def evaluated(times: Times) -> _Evaluated:
            downs = [[down(times) for down, _ in entry] for entry in values]
            of_entries = [product(entry) for entry in downs]
            if self._low:
                return _Evaluated(downs, of_entries, reduce(either, of_entries))
            rates = [[failing(times) for _, failing in entry] for entry in values]
            failing = [joint(own, others(entry)) for own, entry in zip(rates, downs, strict=True)]
            up = others([1.0 - down for down in of_entries])
            return _Evaluated(rates, failing, joint(failing, up))

        return evaluated


def joint(rates: Sequence[Array], weights: Sequence[Array]) -> Array:
    """Rate at which one fails while the others are as the weights say."""
    return reduce(np.add, (rate * weight for rate, weight in zip(rates, weights, strict=True)))


def others(values: Sequence[Array]) -> list[Array]:
    """For each value the product of all others."""
    return [product([value for other, value in enumerate(values) if other != place]) for place in range(len(values))]


def product(rows: Sequence[Array]) -> Array:
    """Product of values as (times, cases); 1 without any."""
    return reduce(np.multiply, rows, np.ones((1, 1)))
