"""Nodes and weights for the mean between two instants: few nodes that are exact for what a group does there.

Between two instants the unavailability is a sum of products s^i exp(-j s / MRT) to any accuracy that matters: failures are slow, so
their exponentials are polynomials, and what is in repair decays.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import combinations_with_replacement

import numpy as np

from scoring.units import Array, Hours

REPAIR_CUTS = (1.0, 2.0, 4.0, 7.0, 11.0, 16.0, 25.0, 40.0)
"""Where a stretch after an instant is cut, in mean repair times: what is in repair decays there as exp(-s/MRT)."""
DISTINCT = 1e-13
"""Share of a function below which it counts as a sum of the others."""
Rule = tuple[Array, Array]
"""Nodes [h] from the start of the stretch, and their weights [h], which add up to its length."""


@lru_cache(maxsize=32)
def _legendre(points: int) -> Rule:
    nodes, weights = np.polynomial.legendre.leggauss(points)
    return nodes, weights


@lru_cache(maxsize=4096)
def composite(length: Hours, repairs: tuple[Hours, ...], points: int) -> Rule:
    """Gauss-Legendre in pieces that are short where repairs [h] decay."""
    cuts = {repair * cut for repair in repairs if repair > 0.0 for cut in REPAIR_CUTS}
    ends = np.array([0.0, *sorted(cut for cut in cuts if cut < length), length])
    half, middle = np.diff(ends)[:, None] / 2.0, (ends[:-1, None] + ends[1:, None]) / 2.0
    nodes, weights = _legendre(points)
    return (middle + half * nodes).ravel(), (half * weights).ravel()


@lru_cache(maxsize=4096)
def compressed(length: Hours, repairs: tuple[Hours, ...], failures: int, extra: int) -> Rule:
    """A rule that is exact for s^i exp(-j s / repair), for groups that so many failures have down.

    Where j failures are in repair the others have the degree of their number; ``extra`` degrees are for their next terms. With
    several ``repairs`` [h] the exponentials have every combination of them. The functions are made orthonormal on a fine rule, and
    as many of its nodes are chosen as there are functions, each where the functions not yet met are largest.
    """
    if not repairs:
        return composite(length, (), (failures + extra) // 2 + 1)
    fine, fine_weights = composite(length, repairs, 12)
    functions: list[Array] = []
    for count in range(failures + 2):
        degrees = np.arange(max(failures - count, 0) + extra - (count > 0) + (count == 0))[:, None]
        functions += [
            (fine / length) ** degrees * np.exp(-sum(1.0 / repair for repair in decaying) * fine)
            for decaying in combinations_with_replacement(repairs, count)
        ]
    root = np.sqrt(fine_weights)
    basis, sizes, _ = np.linalg.svd((np.concatenate(functions) * root).T, full_matrices=False)
    basis = basis[:, sizes > DISTINCT * sizes[0]]
    chosen = _pivots(basis)
    exact = basis.T @ root
    weights = np.linalg.solve(basis[chosen].T, exact) * root[chosen]
    order = np.argsort(fine[chosen])
    return fine[chosen][order], weights[order]


def _pivots(basis: Array) -> list[int]:
    """Rows of an orthonormal basis that determine it: each time the row that is longest beside those chosen."""
    rest, chosen = basis.copy(), []
    for _ in range(basis.shape[1]):
        at = int(np.argmax(np.einsum("ij,ij->i", rest, rest)))
        chosen.append(at)
        direction = rest[at] / np.linalg.norm(rest[at])
        rest -= np.outer(rest @ direction, direction)
    return chosen
