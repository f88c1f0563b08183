"""States of a group as a table, and straight lines below its result over each piece of exposure."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np

from scoring.improvement.problem import Floats, GroupInputs, Problem, State, Term, Value

SAMPLES = 24
"""Points of a piece between which the line below a result is found."""
FIRST_PIECES = 5
Lines = dict[tuple[Value, "Piece"], tuple[float, float]]
"""Lines below results by result and piece: several functions rest on one group."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A state of a group: band of S, band of S_D, exposure from ``low`` to ``high`` as -ln(1 - g), and option."""

    s: int
    s_d: int
    low: float
    high: float
    option: int = 0

    def at(self, exposed: Floats) -> State:
        """The state at some exposures."""
        s, s_d, option = (np.full(exposed.shape, each) for each in (self.s, self.s_d, self.option))
        return s, s_d, exposed, option


def breaks(problem: Problem, group: GroupInputs) -> tuple[float, ...]:
    """First limits of the pieces of exposure of a group: equal pieces from all actions taken to none."""
    ends = problem.mask(frozenset(range(len(problem.efforts))), frozenset())
    low, high = group.state(ends)[2].tolist()
    return (low,) if high - low < 1e-12 else tuple(np.linspace(low, high, FIRST_PIECES + 1).tolist())


def pieces(problem: Problem, group: GroupInputs, limits: tuple[float, ...]) -> list[Piece]:
    """All states that answers can reach, cut at the limits of exposure; without changes of the group."""
    ends = problem.mask(frozenset(), frozenset(range(len(problem.efforts))))
    s, s_d = (bands.tolist() for bands in group.state(ends)[:2])
    between = list(pairwise(limits)) or [(limits[0], limits[0])]
    return [
        Piece(band, band_d, low, high)
        for band in range(min(s), max(s) + 1)
        for band_d in range(min(s_d), max(s_d) + 1)
        for low, high in between
    ]


def line_below(term: Term, piece: Piece) -> tuple[float, float]:
    """A line below the result over a piece: its value at the lower end, and its slope.

    It is parallel to the chord. Between two samples a smooth result may lie lower than both by an eighth of their second
    difference; twice that is allowed for.
    """
    if piece.high == piece.low:
        return float(term.value([piece.at(np.array([piece.low]))])[0]), 0.0
    exposed = np.linspace(piece.low, piece.high, SAMPLES + 1)
    results = term.value([piece.at(exposed)])
    slope = float(results[-1] - results[0]) / (piece.high - piece.low)
    bent = float(np.abs(np.diff(results, 2)).max()) / 4.0
    return float((results - slope * (exposed - piece.low)).min()) - bent, slope


def least(term: Term, combination: list[Piece]) -> float:
    """The least result of a term of several groups over their pieces: it lies at an end of each of them."""
    ends = np.array(list(product(*((piece.low, piece.high) for piece in combination))))
    states = [piece.at(ends[:, at]) for at, piece in enumerate(combination)]
    return float(term.value(states).min())
