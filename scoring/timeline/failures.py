"""Probability that one kind of failure has a channel, or the whole group, down at a time."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from scoring.timeline.instants import Search
from scoring.units import Array, Hours

ROUND = 1e-9
"""Hours that are one time since the last test."""


def _repaired(rate: Array, repair: Hours, time: Array) -> Array:
    """Probability that what is in repair at 0 is sound at ``time`` [h]: mu (e^-lambda t - e^-mu t) / (mu - lambda), mu = 1/repair.

    Written with expm1 of the difference, so that it holds for lambda near mu as well, and with the slower of both rates before it,
    so that nothing overflows.
    """
    mu = 1.0 / repair
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
        still: list[tuple[int, Array]] = []
        for at, length in enumerate(np.diff(starts)):
            sound = 1.0 - hidden[at] - repair[at]
            new = sound * -np.expm1(-self.rate * length)
            in_repair = np.zeros_like(new)
            if self.repair > 0.0:
                back = _repaired(self.rate, self.repair, length)
                left = np.exp(-length / self.repair)
                in_repair = repair[at] * left
                new = new + repair[at] * (1.0 - left - back)
            still.append((int(found_at[at]), new))
            found = [share for when, share in still if when == at + 1]
            still = [(when, share) for when, share in still if when > at + 1]
            if self.repair > 0.0:
                repair[at + 1] = in_repair + sum(found)
            for _, share in still:
                hidden[at + 1] += share
        return hidden, repair

    def down(self, at: Array) -> Array:
        """Probability of being down at times [h], as (groups, times)."""
        index = np.searchsorted(self.search.starts, at, side="right") - 1
        local, place = np.unique(np.round((at - self.search.starts[index]) / ROUND), return_inverse=True)
        local = local * ROUND
        hidden, repair = (state.T for state in self.states)
        rate = self.rate[:, None]
        failed = (-np.expm1(-rate * local))[:, place]
        base = hidden + repair
        result = base[:, index] + (1.0 - base)[:, index] * failed
        if self.repair > 0.0:
            result -= repair[:, index] * _repaired(rate, self.repair, local)[:, place]
        return np.asarray(result)

    def failing(self, down: Array) -> Array:
        """Rate [1/h] of going down, where ``down`` are the probabilities of being down."""
        return np.asarray(self.rate[:, None] * (1.0 - down))


@dataclass(frozen=True)
class Detected:
    """Failures that are detected at once and are in repair for ``repair`` [h] on average; ``rate`` [1/h], one value per group."""

    rate: Array
    repair: Hours

    def down(self, at: Array) -> Array:
        """Probability of being down at times [h], as (groups, times)."""
        if self.repair == 0.0:
            return np.zeros((len(self.rate), len(at)))
        mu = 1.0 / self.repair
        rate = self.rate[:, None]
        return np.asarray(rate / (rate + mu) * -np.expm1(-(rate + mu) * at))

    def failing(self, down: Array) -> Array:
        """Rate [1/h] of going down, where ``down`` are the probabilities of being down."""
        return np.asarray(self.rate[:, None] * (1.0 - down))
