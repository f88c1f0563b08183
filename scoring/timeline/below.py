"""A function over time from below: a sum over its entries that is never above the mean of the function.

For a search that knows sums only. Low demand: 1 - product of (1 - U_i) = sum of U_i x product over j < i of (1 - U_j). High demand:
sum of w_i x product over j != i of (1 - U_j). In the products each U_j is replaced by a bound above it that does not depend on beta, so
that each entry stands alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property, reduce

import numpy as np

from scoring.timeline.failures import Undetected
from scoring.timeline.function import Entry, Part, joint, others, product
from scoring.timeline.group import Group
from scoring.timeline.histories import history
from scoring.timeline.in_test import left_failed, out_of_service
from scoring.timeline.time_grid import Grid, grid_of, in_parts
from scoring.timeline.times import Times, place
from scoring.timeline.unavailability import NEVER, either
from scoring.units import Array, Fractions, Hours


class UndetectedAtMost(Undetected):
    """Undetected failures with a probability of being down that is never too low, and that rises with the rate.

    Down at a time is at most the expected number of failures that would still be hidden or in repair then, if one could occur at any
    moment: the rate, integrated over the moments from which it would not be found yet, or found and not repaired (derived).
    """

    @cached_property
    def states(self) -> tuple[Array, Array]:
        """Expected numbers that are hidden and in repair just after each start of the search, as (starts, groups)."""
        starts, found_at = self.search.starts, self.search.found_at
        hidden, repair = np.zeros((2, len(starts), *self.rate.shape))
        still: list[tuple[int, Array]] = []
        for at, length in enumerate(np.diff(starts).tolist()):
            if self.repair > 0.0:
                repair[at + 1] = repair[at] * np.exp(-length / self.repair)
            still.append((int(found_at[at]), self.rate * length))
            for when, share in still:
                if when > at + 1:
                    hidden[at + 1] += share
                elif self.repair > 0.0:
                    repair[at + 1] += share
            still = [(when, share) for when, share in still if when > at + 1]
        return hidden, repair

    def down(self, times: Times) -> Array:
        """At most this probability of being down, as (times, groups)."""
        where, (hidden, repair) = place(times, self.search), self.states
        distances = where.distances[where.distance_of][:, None] + times.nodes
        result = hidden[where.index][:, None] + self.rate * distances[..., None]
        if self.repair > 0.0:
            result += repair[where.index][:, None] * np.exp(-distances / self.repair)[..., None]
        return np.minimum(1.0, result.reshape(-1, len(self.rate)))


class AtMost:
    """A group with a probability of being down that is never too low for any beta up to those of the group."""

    def __init__(self, group: Group, end: Hours) -> None:
        without = replace(group, beta=0.0, beta_d=0.0)
        self._group = group
        self._independent, self._shared = (history(each, end, UndetectedAtMost) for each in (without, group))

    def down(self, times: Times) -> Array:
        """At most this probability of being down, as (times, groups)."""
        down, shared = self._independent.independent(times), self._shared.shared(times)
        error, in_test = left_failed(times, self._group.errors), out_of_service(times, self._group.in_test, None)
        down = reduce(either, (NEVER if each is None else each for each in (shared, error)), down)
        return np.minimum(1.0, down if in_test is None else np.maximum(down, in_test))


@dataclass(frozen=True)
class Worst:
    """An entry with the largest betas: of each group what it may be instead, and the largest PFD of what is constant."""

    groups: tuple[tuple[Part, ...], ...]
    beta: Fractions = 0.0


class Below:
    """The weights with which the entries of a function add up to a value below it, over a mission [h]."""

    def __init__(self, worst: Sequence[Worst], mission: Hours, *, low: bool) -> None:
        self._worst, self._low = tuple(worst), low
        parts = [part for entry in worst for group in entry.groups for part in group]
        self._grid = grid_of([part.group for part in parts if part.group is not None], mission)
        self._bounds = [[[self._bound(part) for part in group] for group in entry.groups] for entry in worst]
        self._weights: dict[Times, list[Array]] = {}

    def mean(self, at: int, entry: Entry, *, values: int) -> Array:
        """The share of an entry in the bound, from its parts with so many values; PFDavg [-] or PFH [1/h]."""
        grid, parts = self._grid_of(values), [part.until(self._grid.end) for part in entry.parts]

        def rows(times: Times) -> Array:
            downs = [down(times) for down, _ in parts]
            rates = [failing(times) for _, failing in parts]
            value = product(downs) if self._low else joint(rates, others(downs))
            return np.broadcast_to(value * self._weight(times)[at], (len(times.at), values))

        return grid.mean(rows) + self._shared(entry, values)

    @cached_property
    def highest(self) -> float:
        """At most this PFDavg has the function."""
        return min(1.0, float(self._grid.mean(lambda times: sum(self._entries(times), NEVER)).max()))

    def _shared(self, entry: Entry, values: int) -> Array:
        """What alternatives share with each other, of the smallest mean; in low demand less what has the function down anyway."""
        if not np.any(entry.beta):
            return np.zeros(values)
        of_parts = [part.until(self._grid.end)[0 if self._low else 1] for part in entry.parts]

        def rows(times: Times) -> Array:
            return np.concatenate([np.broadcast_to(of(times), (len(times.at), values)) for of in of_parts], axis=1)

        means = self._grid_of(values).mean(rows).reshape(len(of_parts), values)
        shared = entry.beta * means.min(axis=0)
        others_shared = sum(float(np.max(each.beta)) for each in self._worst) * self.highest
        return np.asarray(shared * max(0.0, 1.0 - self.highest - others_shared) if self._low else shared)

    def _grid_of(self, values: int) -> Grid:
        return in_parts(self._grid, values)

    def _weight(self, times: Times) -> list[Array]:
        if times not in self._weights:
            up = [1.0 - down for down in self._entries(times)]
            self._weights[times] = [product(up[:at]) for at in range(len(up))] if self._low else others(up)
        return self._weights[times]

    def _entries(self, times: Times) -> list[Array]:
        """At most this probability of being down has each entry, as (times, 1)."""
        return [product([_highest(group, times) for group in entry]) for entry in self._bounds]

    def _bound(self, part: Part) -> AtMost | Array:
        return np.minimum(1.0, part.constant[0]) if part.group is None else AtMost(part.group, self._grid.end)


def _highest(bounds: Sequence[AtMost | Array], times: Times) -> Array:
    """At most this probability of being down has a group, in whatever it may be, as (times, 1)."""
    downs = (bound if isinstance(bound, np.ndarray) else bound.down(times) for bound in bounds)
    return reduce(np.maximum, downs)
