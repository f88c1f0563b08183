"""Times at which groups are evaluated, with their weights in the mean over the mission."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, exp, log

import numpy as np

from scoring.timeline.group import Group
from scoring.timeline.instants import TICK, Rhythm, common_period, rounded
from scoring.units import Array, Hours, PerHour

POINTS, POINT_WEIGHTS = np.polynomial.legendre.leggauss(6)
REPAIR_CUTS = (2.0, 5.0, 9.0, 15.0, 25.0)
"""Where a stretch after an instant is cut again, in mean repair times: what is in repair decays there as exp(-s/MRT)."""
LONGEST = 1.0
"""Longest stretch, in mean times to the first failure of a channel."""
FORGOTTEN = 1e-15
"""Share of a deviation from the steady rhythm below which it no longer counts."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Nodes ``at`` [h] and their ``weights`` [h], which add up to the mission; between instants the nodes are Gauss-Legendre's."""

    at: Array
    weights: Array
    mission: Hours

    def mean(self, rows: Array) -> Array:
        """Mean over the mission of rows with a value at each node."""
        return np.asarray(rows @ self.weights / self.mission)


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
    begin, period = steady or (mission, 0.0)
    end = min(begin + period, mission)
    whole, rest = divmod(mission - end, period) if end < mission else (0.0, 0.0)
    cuts = np.append(instants[instants < end], [min(begin, end), min(begin + rest, end)])
    ends = _cuts(np.unique(cuts), end, repairs, restorations, fastest)
    half, middle = np.diff(ends) / 2.0, (ends[:-1] + ends[1:]) / 2.0
    times = 1.0 + (middle > begin) * whole + ((middle > begin) & (middle < begin + rest))
    at = middle[:, None] + half[:, None] * POINTS
    return Grid(at.ravel(), (half[:, None] * POINT_WEIGHTS * times[:, None]).ravel(), mission)


def grid_of(groups: Sequence[Group], mission: Hours) -> Grid:
    """The grid on which groups are evaluated together over a mission [h]; with no group, one for constants."""
    rhythms = list(dict.fromkeys(rhythm for group in groups for rhythm in group.rhythms()))
    instants = [rhythm.until(mission) for rhythm in rhythms if rhythm]
    fastest = max((_fastest(group) for group in groups), default=0.0)
    return grid(
        np.unique(np.concatenate([np.zeros(1), *instants])),
        mission,
        repairs=[group.repair for group in groups],
        restorations=[group.restoration for group in groups],
        fastest=fastest,
        steady=_steady(groups, rhythms, fastest, mission),
    )


def _fastest(group: Group) -> PerHour:
    """The highest rate of undetected failures of a channel [1/h]."""
    return max(sum(float(np.max(device.du)) for device in channel) for channel in group.channels)


def _steady(
    groups: Sequence[Group], rhythms: Sequence[Rhythm | None], fastest: PerHour, mission: Hours
) -> tuple[Hours, Hours] | None:
    """From when on everything repeats [h], and with which period; None where that is not within the mission.

    What one interval leaves to the next is what is still in repair, so a deviation shrinks by lambda x MRT + exp(-T/MRT).
    """
    period = common_period(rhythms, mission) if rhythms else None
    if period is None:
        return None
    shortest = min(rhythm.interval for rhythm in rhythms if rhythm)
    repair = max(group.repair for group in groups)
    left = fastest * repair + (exp(-shortest / repair) if repair else 0.0)
    if left >= 1.0:
        return None
    periods = 2 + (ceil(log(FORGOTTEN) / log(left)) if left > 0.0 else 0)
    late = max((rhythm.offset for rhythm in rhythms if rhythm), default=0.0)
    detected = max(group.restoration for group in groups) * -log(FORGOTTEN)
    begin = ceil(max(late, detected) / period) * period + periods * period
    return begin, period
