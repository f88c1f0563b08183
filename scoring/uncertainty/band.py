"""What a sample of results says: 5 %, 50 % and 95 % value, and the probability of missing a target."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scoring.units import Array


@dataclass(frozen=True, slots=True)
class Band:
    """5 %, 50 % and 95 % value of a PFDavg [-] or PFH [1/h]."""

    p5: float
    p50: float
    p95: float

    @property
    def inverse(self) -> Band:
        """The band of 1/value, as RRF: its 5 % value is the inverse of the 95 % value."""
        return Band(1.0 / self.p95, 1.0 / self.p50, 1.0 / self.p5)


def band(logs: Array) -> Band:
    """5 %, 50 % and 95 % value of a sample, given by its natural logarithms, interpolated between neighbours."""
    p5, p50, p95 = np.exp(np.quantile(logs, (0.05, 0.5, 0.95))).tolist()
    return Band(p5, p50, p95)


def misses(logs: Array, limit: float) -> float:
    """Probability that a PFDavg or PFH, by its logarithms, is above the highest that meets the target."""
    return float(np.count_nonzero(logs > np.log(limit)) / logs.size)
