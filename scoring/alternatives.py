"""Alternatives: several groups of which any is enough. All must fail at once, or by what they share with each other."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce

import numpy as np

from scoring.equipment import Split
from scoring.method import Measure
from scoring.units import Fraction, Fractions

REMARK = "alternatives tested on one day: the product of their averages is too good, by up to 4/3 for two and 2 for three groups"


def result(measure: Measure, pfds: Sequence[Fractions], pfhs: Sequence[Fractions], *, beta: Fraction) -> Split:
    """PFDavg [-] or PFH [1/h] of alternatives, from those of the groups; ``beta`` is what they share, of the smallest.

    PFDavg: product of the groups, plus beta x the smallest. PFH: sum over groups of its PFH x the PFDavg of the others, plus
    beta x the smallest PFH. ``pfhs`` may be empty for PFDavg.

    >>> float(result("pfd", [1e-2, 2e-2], [], beta=0.02).total)
    0.0004

    Source: house rule on IEC 61508-6:2010 Annex B, optimistic where the groups are tested on one day (see ``REMARK``).
    """
    if measure == "pfd":
        return Split(_product(pfds), beta * reduce(np.minimum, pfds))
    rates = [rate * _product([pfd for other, pfd in enumerate(pfds) if other != at]) for at, rate in enumerate(pfhs)]
    return Split(reduce(np.add, rates), beta * reduce(np.minimum, pfhs))


def _product(values: Sequence[Fractions]) -> Fractions:
    product: Fractions = 1.0
    for value in values:
        product = product * value
    return product
