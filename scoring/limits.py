"""Range checks that name the quantity and refuse NaN."""

from __future__ import annotations

from math import inf

import numpy as np
from numpy.typing import NDArray

from scoring.units import Fractions, Rate


class OutOfRange(ValueError):
    """A quantity is outside the range in which the equation is meaningful."""

    def __init__(self, name: str, value: object, rule: str) -> None:
        self.name, self.value, self.rule = name, value, rule
        super().__init__(f"{name} is {value}, but {rule}")


def within(name: str, value: Fractions, low: float, high: float) -> None:
    """Raise OutOfRange unless ``value`` (a number or every element of an array) is in [low, high].

    >>> within("coverage", 1.2, 0.0, 1.0)
    Traceback (most recent call last):
    scoring.limits.OutOfRange: coverage is 1.2, but must lie between 0.0 and 1.0
    """
    inside = low <= value <= high if isinstance(value, float | int) else np.all((low <= value) & (value <= high))
    if not inside:
        raise OutOfRange(name, value, f"must lie between {low} and {high}")


def holds(condition: bool | np.bool_ | NDArray[np.bool_], /) -> bool:  # noqa: FBT001  (a comparison)
    """Whether a condition holds, for an array in every element."""
    return bool(np.all(condition)) if isinstance(condition, np.ndarray) else bool(condition)


def is_rate(value: Rate) -> bool:
    """Whether a rate, or each of an array, is finite and not below 0."""
    return holds(value >= 0.0) and holds(value < inf)
