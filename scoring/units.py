"""Quantities with their units, as type names for signatures."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

PerHour: TypeAlias = float
"""Failure rate or failure frequency [1/h]."""

Fit: TypeAlias = float
"""Failure rate as written on data sheets [failures in 1e9 h]."""

Hours: TypeAlias = float

Fraction: TypeAlias = float
"""Dimensionless, 0 to 1."""

Fractions: TypeAlias = float | NDArray[np.float64]
"""One fraction, or an array of them (element by element)."""

Rate: TypeAlias = float | NDArray[np.float64]
"""One failure rate [1/h], or an array of them, one for each sample."""

Array: TypeAlias = NDArray[np.float64]
"""Numbers in rows and columns; each docstring says of what."""

HOURS_PER_DAY: Hours = 24.0
HOURS_PER_YEAR: Hours = 8760.0
FIT_PER_PER_HOUR: Fit = 1e9


def per_hour(fit: Fit) -> PerHour:
    """Rate [1/h] from a rate in FIT.

    >>> per_hour(450)
    4.5e-07
    """
    return fit / FIT_PER_PER_HOUR
