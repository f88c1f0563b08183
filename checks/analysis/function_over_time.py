"""A function over time: the unavailability of its groups at the same moment, and the means over the mission."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property, reduce

import numpy as np

from checks.assessment import timed_groups
from checks.assessment.assessment import Assessment
from checks.assessment.results import FunctionResult, GroupResult
from scoring.timeline.group import Group as TimedGroup
from scoring.timeline.instants import Rhythm
from scoring.timeline.time_grid import Grid, grid_of
from scoring.timeline.unavailability import History, either
from scoring.units import Array, Hours

CASES = ("scored", "adjusted")


class GroupOverTime:
    """A group over time with the terms of its tests; a constant where its result is stated or the timeline has no form.

    Rows are the two cases, columns the times [h].
    """

    def __init__(self, assessment: Assessment, group: GroupResult, *, together: bool = False) -> None:
        described = assessment.plant.groups[group.id]
        self.group = group.id
        self.timed: TimedGroup | None = None
        self._detected = not described.acts_on_detected
        self._terms = [found.terms.total if found else 0.0 for found in (group.low, group.high)]
        self._constant = [
            np.array([[getattr(found.cases, case)] for case in CASES]) if found else np.zeros((2, 1))
            for found in (group.low, group.high)
        ]
        if not group.stated and not group.voting.diagnostic:
            pairs = [(0.0, 0.0), (0.0, 0.0)]
            if group.betas is not None:
                betas = group.betas
                pairs = [(betas.beta, betas.beta_d), (betas.beta_adjusted, betas.beta_d_adjusted)]
            beta, beta_d = np.array(pairs).T
            self.timed = timed_groups.timed(assessment.plant, described, group.voting, beta, beta_d, together=together)

    def mean_down(self, grid: Grid) -> Array:
        """Mean of the probability of being down."""
        return _mean(self.down(grid.at), grid)

    def down(self, at: Array) -> Array:
        """Probability of being down at times [h], the last one last."""
        if self.timed is None:
            return np.broadcast_to(self._constant[0], (2, len(at)))
        return either(History(self.timed, float(at[-1])).down(at), np.asarray(self._terms[0]))

    def failing(self, at: Array) -> Array:
        """Rate of failing [1/h] at times [h], the last one last."""
        if self.timed is None:
            return np.broadcast_to(self._constant[1], (2, len(at)))
        failing = History(self.timed, float(at[-1])).failing(at, detected=self._detected)
        return np.asarray(failing + self._terms[1])


@dataclass(frozen=True, slots=True)
class _TimedEntry:
    """An entry of a function over time: one group, or alternatives that share ``beta`` of the smallest of them."""

    parts: tuple[GroupOverTime, ...]
    beta: float

    def down(self, at: Array) -> Array:
        return _product([part.down(at) for part in self.parts])

    def failing(self, at: Array) -> Array:
        if len(self.parts) == 1:
            return self.parts[0].failing(at)
        downs = [part.down(at) for part in self.parts]
        others = [_product([down for other, down in enumerate(downs) if other != place]) for place in range(len(downs))]
        return reduce(np.add, (part.failing(at) * rest for part, rest in zip(self.parts, others, strict=True)))

    def shared(self, over: Callable[[GroupOverTime, Array], Array], grid: Grid) -> Array:
        """What alternatives share with each other, in the mean."""
        if not self.beta:
            return np.zeros(2)
        return np.asarray(self.beta * np.minimum.reduce([_mean(over(part, grid.at), grid) for part in self.parts]))


class FunctionOverTime:
    """A function over a mission [h], with common cause and with the cyber scenario.

    ``together``: as if all channels of a group were tested on the same days.
    """

    def __init__(
        self, assessment: Assessment, function: FunctionResult, mission: Hours, *, together: bool = False
    ) -> None:
        self._low, self._mission = function.demand == "low", mission
        self.entries = [
            _TimedEntry(
                tuple(GroupOverTime(assessment, group, together=together) for group in entry.groups),
                entry.beta or 0.0,
            )
            for entry in function.entries
        ]

    @cached_property
    def _grid(self) -> Grid:
        return grid_of([part.timed for entry in self.entries for part in entry.parts if part.timed], self._mission)

    def rhythms(self) -> list[Rhythm | None]:
        """The tests of all groups; None for a share of failures that no test finds."""
        timed = (part.timed for entry in self.entries for part in entry.parts)
        return [rhythm for group in timed if group for rhythm in group.rhythms()]

    def at(self, at: Array) -> Array:
        """Probability of being down, or rate of failing [1/h] in high demand, at times [h], as (cases, times).

        What alternatives share with each other is left out: it is known in the mean alone.
        """
        return self._whole(*self._each(at))

    def _each(self, at: Array) -> tuple[list[Array], list[Array]]:
        """Each entry at times [h]: probability of being down, and rate of failing [1/h], which low demand does not need."""
        downs = [entry.down(at) for entry in self.entries]
        return downs, [] if self._low else [entry.failing(at) for entry in self.entries]

    def _whole(self, downs: list[Array], rates: list[Array]) -> Array:
        """The function from its entries: any is down, or one fails while all others are up."""
        if self._low:
            return reduce(either, downs)
        return reduce(
            np.add,
            (
                rate * _product([1.0 - down for other, down in enumerate(downs) if other != place])
                for place, rate in enumerate(rates)
            ),
        )

    def tests(self) -> dict[str, Array]:
        """Instants [h] at which a channel of each group is tested, by group."""
        return {
            part.group: np.unique(np.concatenate([rhythm.until(self._mission) for rhythm in tested]))
            for entry in self.entries
            for part in entry.parts
            if part.timed is not None and (tested := [rhythm for rhythm in part.timed.rhythms() if rhythm])
        }

    def means(self) -> tuple[list[Array], Array]:
        """PFDavg [-] or PFH [1/h] of each entry and of the function, for the two cases."""
        grid = self._grid
        over, joined = (GroupOverTime.down, either) if self._low else (GroupOverTime.failing, np.add)
        shared = [entry.shared(over, grid) for entry in self.entries]
        downs, rates = self._each(grid.at)
        means = [joined(_mean(rows, grid), more) for rows, more in zip(rates or downs, shared, strict=True)]
        return means, reduce(joined, shared, _mean(self._whole(downs, rates), grid))


def _mean(rows: Array, grid: Grid) -> Array:
    return grid.mean(np.broadcast_to(rows, (2, len(grid.at))))


def _product(rows: Sequence[Array]) -> Array:
    return reduce(np.multiply, rows, np.ones((2, 1)))
