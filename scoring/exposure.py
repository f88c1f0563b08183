"""From unmet security topics to exposure, and from exposure to a raised beta. A house rule.

No standard turns security gaps into a beta factor or a probability of failure. This is a scenario for
setting priorities, not a claim of a safety integrity level.
"""

from __future__ import annotations

import numpy as np

from scoring.limits import within
from scoring.units import Fraction, Fractions

CLASS_VALUE = {3: 0.15, 2: 0.05, 1: 0.015}
"""Exposure of one unmet topic by its weight (house rule)."""

FIELD_PARTS = frozenset({"sensor", "logic", "final"})
SCENARIO = "scenario for setting priorities; not a SIL claim; no standard gives this mapping"


def concerns(elements: frozenset[str], part: str) -> bool:
    """Whether a topic about ``elements`` counts for a group of ``part``.

    It counts if it names the part, or if it names none of sensor, logic and final: workstation, network, people
    and procedure concern every part.
    """
    return part in elements or not elements & FIELD_PARTS


def exposure(unmet: list[tuple[int, Fraction]]) -> Fraction:
    """Exposure g = 1 - prod(1 - c a) of topics given as (weight, unmet share a).

    >>> round(exposure([(3, 1.0), (2, 0.5)]), 5)
    0.17125
    """
    unexposed = 1.0
    for weight, share in unmet:
        within("unmet share", share, 0.0, 1.0)
        unexposed *= 1.0 - CLASS_VALUE[weight] * share
    return 1.0 - unexposed


def closed(g: Fractions, weight: int, share: Fraction) -> Fractions:
    """Exposure after one of its topics is met: g' = 1 - (1 - g) / (1 - c a)."""
    return 1.0 - (1.0 - g) / (1.0 - CLASS_VALUE[weight] * share)


def raised(beta_int: Fraction, g: Fractions, *, cap: Fraction) -> Fractions:
    """beta_int* = beta_int (max(cap, beta_int) / beta_int)^g: from beta_int at g = 0 to the cap at g = 1.

    Computed as beta_int^(1-g) max(cap, beta_int)^g, which is equal and also holds at beta_int = 0.
    Exposure never lowers beta. Raises OutOfRange.

    >>> round(float(raised(0.02, 0.5, cap=0.05)), 6)
    0.031623
    """
    within("exposure", g, 0.0, 1.0)
    top = max(cap, beta_int)
    # Rounding of the powers must not lower beta.
    return np.clip(beta_int ** (1.0 - g) * top**g, beta_int, top)
