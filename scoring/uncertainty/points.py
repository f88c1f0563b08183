"""Points at which an uncertain result is evaluated: a scrambled Sobol sequence."""

from __future__ import annotations

import numpy as np

from scoring.limits import within
from scoring.units import Array

FINEST = 2.0**-30
"""Distance of the values that a coordinate can have."""


def sobol(inputs: int, *, power: int, seed: int) -> Array:
    """2^power points of a scrambled Sobol sequence as (inputs, points), every coordinate inside 0 to 1, ends excluded.

    The same seed gives the same points. Each coordinate has exactly one point in each of 2^power equal intervals, which keeps
    the error far below that of random points.

    Source: Sobol 1967, scrambled after Owen 1995 (Matousek's form), as ``scipy.stats.qmc`` has it. Raises OutOfRange for a power
    outside 1 to 20.
    """
    from scipy.stats import qmc

    within("power", power, 1.0, 20.0)
    points = qmc.Sobol(inputs, scramble=True, bits=30, seed=seed).random_base2(power)
    return np.ascontiguousarray(points.T + 0.5 * FINEST)
