"""Distributions of uncertain inputs, each by its inverse: from a point in 0 to 1 to the value below which that share lies."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log
from typing import Protocol

import numpy as np

from scoring.limits import OutOfRange, within
from scoring.units import Array

Z95 = 1.6448536269514722
"""95 % quantile of the standard normal distribution."""


class Distribution(Protocol):
    """Distribution of one input."""

    @property
    def certain(self) -> bool:
        """Whether it has one value only."""
        ...

    def at(self, points: Array) -> Array:
        """Values at points between 0 and 1, ends excluded."""
        ...


@dataclass(frozen=True, slots=True)
class Lognormal:
    """A lognormal quantity by its mean, and its error factor: the 95 % value over the median.

    sigma = ln(EF)/1.645; median = mean exp(-sigma^2/2); value = median exp(sigma z), z the standard normal quantile.

    >>> f"{Lognormal(1.0, 3.0).median:.4f}"
    '0.8001'

    Source: Open-PSA Model Exchange Format, lognormal deviate by mean and error factor (from memory); the moments are those of
    the distribution. Raises OutOfRange for an error factor below 1.
    """

    mean: float
    error_factor: float

    def __post_init__(self) -> None:
        within("error factor", self.error_factor, 1.0, 1e3)
        if not self.mean > 0.0:
            raise OutOfRange("mean", self.mean, "must be above 0")

    @property
    def sigma(self) -> float:
        """Standard deviation of the logarithm."""
        return log(self.error_factor) / Z95

    @property
    def median(self) -> float:
        """The median, below the mean."""
        return self.mean * exp(-0.5 * self.sigma**2)

    @property
    def certain(self) -> bool:
        """Whether the error factor is 1."""
        return self.error_factor == 1.0

    def at(self, points: Array) -> Array:
        """Values at points between 0 and 1."""
        from scipy.special import ndtri

        return np.asarray(np.exp(self.sigma * ndtri(points)) * self.median)


@dataclass(frozen=True, slots=True)
class Triangle:
    """A quantity between two bounds, most likely at ``mode``; raises OutOfRange where that lies outside."""

    low: float
    mode: float
    high: float

    def __post_init__(self) -> None:
        within("mode", self.mode, self.low, self.high)

    @property
    def certain(self) -> bool:
        """Whether both bounds are the same."""
        return self.low == self.high

    def at(self, points: Array) -> Array:
        """Values at points between 0 and 1: the square roots of the distribution function on both sides of the mode."""
        width = self.high - self.low
        below = self.low + np.sqrt(points * (width * (self.mode - self.low)))
        above = self.high - np.sqrt((1.0 - points) * (width * (self.high - self.mode)))
        return np.asarray(np.where(points * width < self.mode - self.low, below, above))
