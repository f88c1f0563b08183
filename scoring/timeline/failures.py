"""Probability that one kind of failure has a channel, or the whole group, down at a time."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from scoring.timeline.instants import Search
from scoring.timeline.times import Times, place
from scoring.units import Array, Hours

SETTLED = 40.0
"""Mean repair times after which the start no longer counts: exp(-40) is below the rounding of a sum with 1."""
SLOW = 0.5
"""Failure rate times repair time above which both are too close for the difference of their exponentials."""


def _repaired(rate: Array, repair: Hours, time: Array, failed: Array) -> Array:
    """Probability that what is in repair at 0 is sound at ``time`` [h]: mu (e^-lambda t - e^-mu t) / (mu - lambda), mu = 1/repair.

    ``failed`` is 1 - e^-lambda t. Where lambda is near mu it is written with expm1 of the difference, with the slower of both rates before it, so that nothing
    overflows.
    """
    mu = 1.0 / repair
    if float(np.max(rate, initial=0.0)) < SLOW * mu:
        return np.asarray((-np.expm1(-mu * time) - failed) * (mu / (mu - rate)))
    x = np.abs(mu - rate) * time
    with np.errstate(invalid="ignore"):
        share = np.where(x == 0.0, 1.0, -np.expm1(-x) / np.where(x == 0.0, 1.0, x))
    return np.asarray(mu * time * np.exp(-np.minimum(rate, mu) * time) * share)


@dataclass(frozen=True)
class Undetected:
    """Failures that stay hidden until a test finds them, then are in repair for ``repair`` [h] on average.

    sound -> hidden at ``rate`` [1/h]; hidden -> in repair at the instant of ``search`` that finds it; in repair -> sound. ``rate``
    has one value for each group.
    """

    rate: Array
    search: Search
    repair: Hours

    @cached_property
    def states(self) -> tuple[Array, Array]:
        """Hidden and in repair just after each start of the search, as (starts, groups)."""
        starts, found_at = self.search.starts, self.search.found_at
        hidden, repair = np.zeros((2, len(starts), *self.rate.shape))
        lengths, length_of = np.unique(np.diff(starts), return_inverse=True)
        failed = -np.expm1(-self.rate * lengths[:, None])
        if self.repair > 0.0:
            left = np.exp(-lengths / self.repair)
            again = 1.0 - left[:, None] - _repaired(self.rate, self.repair, lengths[:, None], failed)
        still: list[tuple[int, Array]] = []
        for at, length in enumerate(length_of):
            new = (1.0 - hidden[at] - repair[at]) * failed[length]
            if self.repair > 0.0:
                new += repair[at] * again[length]
                np.multiply(repair[at], left[length], out=repair[at + 1])
            still.append((int(found_at[at]), new))
            for when, share in still:
                if when > at + 1:
                    hidden[at + 1] += share
                elif self.repair > 0.0:
                    repair[at + 1] += share
            still = [(when, share) for when, share in still if when > at + 1]
        return hidden, repair

    def down(self, times: Times) -> Array:
        """Probability of being down, as (times, groups)."""
        down, repair = self._at_starts(times)
        nodes = times.nodes[:, None]
        failed = -np.expm1(-self.rate * nodes)
        result = (1.0 - down)[:, None] * failed
        result += down[:, None]
        if self.repair > 0.0:
            result -= repair[:, None] * _repaired(self.rate, self.repair, nodes, failed)
        return result.reshape(-1, len(self.rate))

    def _at_starts(self, times: Times) -> tuple[Array, Array]:
        """Down, and of it in repair, at the starts of the times, as (starts, groups)."""
        where, (hidden, repair) = place(times, self.search), self.states
        distances, in_repair = where.distances[:, None], repair[where.index]
        down = hidden[where.index] + in_repair
        if len(distances) > 1 or distances[0] > 0.0:
            failed = -np.expm1(-self.rate * distances)
            more = (1.0 - down) * failed[where.distance_of]
            if self.repair > 0.0:
                more -= in_repair * _repaired(self.rate, self.repair, distances, failed)[where.distance_of]
                in_repair *= np.exp(-distances / self.repair)[where.distance_of]
            down += more
        return down, in_repair

    def failing(self, down: Array) -> Array:
        """Rate [1/h] of going down, where ``down`` are the probabilities of being down."""
        return np.asarray(self.rate * (1.0 - down))


@dataclass(frozen=True)
class Detected:
    """Failures that are detected at once and are in repair for ``repair`` [h] on average; ``rate`` [1/h], one value per group."""

    rate: Array
    repair: Hours

    def down(self, times: Times) -> Array:
        """Probability of being down, as (times, groups); one row where it is steady."""
        if self.repair == 0.0:
            return np.zeros((1, len(self.rate)))
        total = self.rate + 1.0 / self.repair
        steady = self.rate / total
        settled = int(np.searchsorted(times.at, SETTLED * self.repair))
        if settled == 0:
            return steady[None, :]
        result = np.repeat(steady[None, :], len(times.at), axis=0)
        result[:settled] *= -np.expm1(-total * times.at[:settled, None])
        return result

    def failing(self, down: Array) -> Array:
        """Rate [1/h] of going down, where ``down`` are the probabilities of being down."""
        return np.asarray(self.rate * (1.0 - down))
