"""The 5, 50 and 95 % quantiles of an uncertain quantity, and where a value lies beside them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

LEVELS = (0.05, 0.5, 0.95)
"""Probabilities of the three quantiles: the outer two span 90 %."""

Standing = Literal["within", "above", "below"]


@dataclass(frozen=True, slots=True)
class Quantiles:
    """Three quantiles of one quantity, in its unit."""

    p5: float
    p50: float
    p95: float

    def standing(self, value: float) -> Standing:
        """Where a value lies beside the 90 % interval, whose ends belong to it."""
        return standing(value, low=self.p5, high=self.p95)


def standing(value: float, *, low: float, high: float) -> Standing:
    """Whether a value lies within an interval, above it or below it."""
    return "above" if value > high else "below" if value < low else "within"
