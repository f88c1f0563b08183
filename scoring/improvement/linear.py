"""A mixed-integer programme while it is built, and its solution by scipy (HiGHS)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf

import numpy as np
from numpy.typing import NDArray

FAILED = 4
"""Status of the solver for numerical trouble; its presolve can cause it."""
Linear = dict[int, float]
"""Coefficients by column."""


@dataclass(frozen=True)
class Found:
    """Answer of the solver: columns or None, whether it is the optimum (or none exists), and a lower bound of the objective."""

    columns: NDArray[np.float64] | None
    proven: bool
    bound: float


@dataclass
class Rows:
    """Columns and rows of a programme while it is built."""

    integral: list[int] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    rows: list[tuple[Linear, float, float]] = field(default_factory=list)

    def column(self, *, integral: bool, upper: float = 1.0) -> int:
        """A new column from 0 to ``upper``."""
        self.integral.append(int(integral))
        self.upper.append(upper)
        return len(self.upper) - 1

    def row(self, coefficients: Mapping[int, float], *, low: float = -inf, high: float = inf) -> None:
        """A row: low <= sum of coefficients x columns <= high."""
        self.rows.append((dict(coefficients), low, high))

    def minimum(self, weights: Mapping[int, float], seconds: float) -> Found:
        """Minimise a weighted sum of columns within a time."""
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        objective = np.zeros(len(self.upper))
        for at, weight in weights.items():
            objective[at] = weight
        data = [(row, at, value) for row, (line, _, _) in enumerate(self.rows) for at, value in line.items()]
        where = ([row for row, _, _ in data], [at for _, at, _ in data])
        matrix = csr_array(([value for _, _, value in data], where), shape=(len(self.rows), len(self.upper)))
        constraints = LinearConstraint(matrix, [low for _, low, _ in self.rows], [high for _, _, high in self.rows])
        for presolve in (True, False):
            solved = milp(
                objective,
                integrality=np.array(self.integral),
                bounds=Bounds(0.0, np.array(self.upper)),
                constraints=constraints,
                options={"time_limit": seconds, "mip_rel_gap": 0.0, "presolve": presolve},
            )
            if solved.status != FAILED:
                break
        bound = -inf if solved.mip_dual_bound is None else float(solved.mip_dual_bound)
        return Found(solved.x, solved.status in (0, 2), bound)
