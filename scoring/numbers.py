"""Number format of worked equations, and sums and comparisons that take numbers and arrays alike."""

from __future__ import annotations

from collections.abc import Iterable
from math import fsum

import numpy as np

from scoring.units import Fractions


def put_in(value: Fractions) -> str:
    """A number with four significant digits, enough to follow a calculation by hand.

    >>> put_in(0.0125), put_in(4.5e-07), put_in(8760.0)
    ('0.0125', '4.5e-07', '8760')
    """
    return f"{float(value):.4g}"


def total(values: Iterable[Fractions]) -> Fractions:
    """Sum of numbers, rounded once, or of arrays element by element.

    >>> total([0.1] * 10), total([np.array([1.0, 2.0]), 1.0]).tolist()
    (1.0, [2.0, 3.0])
    """
    listed = tuple(values)
    if not any(isinstance(value, np.ndarray) for value in listed):
        return fsum(float(value) for value in listed)
    summed: Fractions = 0.0
    for value in listed:
        summed = summed + value
    return summed


def alike(some: tuple[Fractions, ...], others: tuple[Fractions, ...]) -> bool:
    """Whether numbers are equal pair by pair, arrays in every element."""
    return all(one is other or bool(np.all(one == other)) for one, other in zip(some, others, strict=True))


def at_most(value: Fractions, most: float) -> Fractions:
    """The smaller of a number, or of each element, and ``most``."""
    return np.minimum(value, most) if isinstance(value, np.ndarray) else min(value, most)
