"""Array at which unavailability is evaluated, with their weights in the mean over the mission."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from scoring.timeline.instants import TICK, rounded
from scoring.units import Array, Hours, PerHour

POINTS, POINT_WEIGHTS = np.polynomial.legendre.leggauss(6)
REPAIR_CUTS = (2.0, 5.0, 9.0, 15.0, 25.0)
"""Where a stretch after an instant is cut again, in mean repair times: what is in repair decays there as exp(-s/MRT)."""
LONGEST = 1.0
"""Longest stretch, in mean times to the first failure of a channel."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Nodes ``at`` [h] and their ``weights`` [h], which add up to the mission; between instants the nodes are Gauss-Legendre's."""

    at: Array
    weights: Array

    @property
    def mission(self) -> Hours:
        """The mission time [h]."""
        return float(self.weights.sum())


def _behind(repairs: Iterable[Hours]) -> list[Hours]:
    return [repair * cut for repair in set(repairs) if repair > 0.0 for cut in REPAIR_CUTS]


def _cuts(
    instants: Array, until: Hours, repairs: Iterable[Hours], restorations: Iterable[Hours], fastest: PerHour
) -> Array:
    """Ends of the stretches: the instants, the cuts behind each of them, and none longer than ``LONGEST`` allows."""
    cuts = [
        instants,
        *(instants + distance for distance in _behind(repairs)),
        np.array([until, *_behind(restorations)]),
    ]
    ends = np.unique(rounded(np.concatenate(cuts)))
    ends = ends[(ends >= 0.0) & (ends <= until + TICK / 2)]
    if fastest > 0.0:
        pieces = np.maximum(1, np.ceil(np.diff(ends) * fastest / LONGEST)).astype(np.intp)
        if pieces.max(initial=1) > 1:
            parts = [np.linspace(a, b, n, endpoint=False) for a, b, n in zip(ends[:-1], ends[1:], pieces, strict=True)]
            ends = np.append(np.concatenate(parts), ends[-1])
    return ends


def grid(
    instants: Array,
    mission: Hours,
    *,
    repairs: Iterable[Hours],
    restorations: Iterable[Hours],
    fastest: PerHour,
    steady: tuple[Hours, Hours] | None,
) -> Grid:
    """The grid between ``instants`` [h], which begin with 0.

    ``repairs``: mean times of repairs that begin at an instant, ``restorations`` of those that begin at once [h]. ``fastest``:
    highest failure rate of a channel [1/h]. ``steady``: from the first time on [h] everything repeats with the second as its
    period, so one period stands for all that follow.
    """
    end, whole, rest = mission, 0.0, 0.0
    if steady is not None and mission > steady[0] + steady[1]:
        begin, period = steady
        end = begin + period
        whole, rest = divmod(mission - end, period)
        rest = begin + rest
    cuts = np.append(instants[instants < end], [rest] if rest else [])
    ends = _cuts(np.unique(cuts), end, repairs, restorations, fastest)
    half, middle = np.diff(ends) / 2.0, (ends[:-1] + ends[1:]) / 2.0
    at = middle[:, None] + half[:, None] * POINTS
    times = np.ones(len(half))
    if steady is not None and end < mission:
        times[middle > steady[0]] += whole
        times[(middle > steady[0]) & (middle < rest)] += 1.0
    return Grid(at.ravel(), (half[:, None] * POINT_WEIGHTS * times[:, None]).ravel())
