"""Unmet security topics to exposure, and exposure to a raised beta. A house rule.

No standard turns security gaps into a beta factor or a probability of failure. What stands here is a
scenario for setting priorities, not a claim of a safety integrity level.
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

    It does when it names the part, or names none of sensor, logic and final (only workstation, network, people
    or procedure, which reach every part).
    """
    return part in elements or not elements & FIELD_PARTS


def exposure(unmet: list[tuple[int, Fraction]]) -> Fraction:
    """Exposure g = 1 - prod(1 - c a) of topics given as (weight, unmet share a).

    >>> round(exposure([(3, 1.0), (2, 0.5)]), 5)
    0.17125
    """
    left = 1.0
    for weight, share in unmet:
        within("unmet share", share, 0.0, 1.0)
        left *= 1.0 - CLASS_VALUE[weight] * share
    return 1.0 - left


def closed(g: Fractions, weight: int, share: Fraction) -> Fractions:
    """Exposure with one contributing topic met: g' = 1 - (1 - g) / (1 - c a)."""
    return 1.0 - (1.0 - g) / (1.0 - CLASS_VALUE[weight] * share)


def raised(beta_int: Fraction, g: Fractions, *, cap: Fraction) -> Fractions:
    """beta_int* = beta_int (max(cap, beta_int) / beta_int)^g: from beta_int at g = 0 to the cap at g = 1.

    Written as beta_int^(1-g) max(cap, beta_int)^g, which is the same and holds at beta_int = 0 too.
    Exposure only ever raises beta.

    >>> round(float(raised(0.02, 0.5, cap=0.05)), 6)
    0.031623
    """
    within("exposure", g, 0.0, 1.0)
    top = max(cap, beta_int)
    # Rounding of the powers must never lower a beta: exposure only ever raises it.
    return np.clip(beta_int ** (1.0 - g) * top**g, beta_int, top)
