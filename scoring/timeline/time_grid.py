"""Times at which groups are evaluated, with their weights in the mean over the mission."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, exp, floor, log, log10

import numpy as np

from scoring.timeline import quadrature
from scoring.timeline.group import Group, InTest, devices_of
from scoring.timeline.in_test import edges
from scoring.timeline.instants import TICK, Rhythm, common_period, rounded
from scoring.timeline.quadrature import Rule
from scoring.timeline.times import Times
from scoring.units import Array, Hours, PerHour

DEGREES = ((0.02, 3), (0.3, 6))
"""Longest stretch, in mean times to the first failure of a channel, for which so many degrees more than the leading one will do."""
DECAYED = 40.0
"""Mean restoration times after which what begins at time 0 is steady."""
MOST_DECAYING = 2
"""Most different times of repair for which a rule with few nodes is made."""
FORGOTTEN = 1e-10
"""Share of a deviation from the steady rhythm below which it no longer counts."""
AT_ONCE = 80_000
"""Values that are calculated at once."""
Steady = tuple[Hours, Hours]
"""From when on everything repeats, and with which period [h]."""


@dataclass(frozen=True, eq=False)
class Grid:
    """Times with their weights [h]: one piece for each length of a stretch. All weights add up to the mission [h]."""

    pieces: tuple[tuple[Times, Array], ...]
    mission: Hours
    end: Hours
    """The last time [h]: for a steady rhythm long before the end of the mission."""

    def mean(self, rows: Callable[[Times], Array]) -> Array:
        """Mean over the mission of values as (times, groups), or one row where they are constant; as (groups)."""
        total: Array | float = 0.0
        for times, weights in self.pieces:
            values = rows(times)
            total = total + (weights @ values if len(values) == len(weights) else weights.sum() * values[0])
        return np.asarray(total / self.mission)


@dataclass(frozen=True, slots=True)
class Clock:
    """What a grid depends on: all tests, and the times of repair and restoration [h].

    ``fastest``: highest failure rate of a channel [1/h], rounded up. ``failures``: how many have a group down.
    """

    rhythms: tuple[Rhythm | None, ...]
    repairs: tuple[Hours, ...]
    restorations: tuple[Hours, ...]
    fastest: PerHour
    failures: int
    in_test: tuple[InTest, ...] = ()


def _ends(clock: Clock, instants: Array) -> Array:
    """Ends of the stretches: the instants, and so many more that none is longer than the last of ``DEGREES``."""
    ends = np.unique(rounded(instants))
    pieces = np.maximum(1, np.ceil(np.diff(ends) * clock.fastest / DEGREES[-1][0])).astype(np.intp)
    if pieces.max(initial=1) > 1:
        parts = [np.linspace(a, b, n, endpoint=False) for a, b, n in zip(ends[:-1], ends[1:], pieces, strict=True)]
        ends = rounded(np.append(np.concatenate(parts), ends[-1]))
    return ends


def _rule(clock: Clock, length: Hours, *, early: bool) -> Rule:
    """The rule of one stretch. ``early``: what begins at time 0 is not yet steady, so restorations decay there as well."""
    decaying = {*clock.repairs, *(clock.restorations if early else ())}
    repairs = tuple(sorted(repair for repair in decaying if repair > 0.0))
    if len(repairs) > MOST_DECAYING:
        return quadrature.composite(length, repairs, 6)
    extra = next(extra for most, extra in DEGREES if length * clock.fastest <= most * (1.0 + 1e-6))
    return quadrature.compressed(length, repairs, clock.failures, extra)


@lru_cache(maxsize=128)
def grid(clock: Clock, mission: Hours, steady: Steady | None) -> Grid:
    """The grid of a mission [h]; with ``steady`` one period stands for all that follow."""
    begin, period = steady or (mission, 0.0)
    end = min(begin + period, mission)
    whole, rest = divmod(mission - end, period) if end < mission else (0.0, 0.0)
    instants = np.concatenate([np.zeros(1), *(rhythm.until(mission) for rhythm in clock.rhythms if rhythm)])
    instants = np.concatenate([instants, *edges(clock.in_test, mission)])
    ends = _ends(clock, np.append(instants[instants < end], [min(begin, end), min(begin + rest, end), end]))
    starts, lengths = ends[:-1], np.round(np.diff(ends) / TICK) * TICK
    later = starts >= begin - TICK / 2
    counts = 1.0 + later * whole + (later & (starts < begin + rest - TICK / 2))
    early = starts < DECAYED * max(set(clock.restorations) - set(clock.repairs), default=0.0)
    pieces = []
    for length, unsteady in sorted(set(zip(lengths.tolist(), early.tolist(), strict=True))):
        nodes, weights = _rule(clock, length, early=unsteady)
        here = (early == unsteady) & (lengths == length)
        pieces.append((Times(starts[here], nodes), (counts[here, None] * weights).ravel()))
    return Grid(tuple(pieces), mission, end)


@lru_cache(maxsize=128)
def in_parts(whole: Grid, groups: int) -> Grid:
    """The same grid in smaller pieces, so that the values of so many groups stay in the cache of the processor."""
    pieces = []
    for times, weights in whole.pieces:
        nodes = len(times.nodes)
        most = max(1, AT_ONCE // (groups * nodes))
        for start in range(0, len(times.starts), most):
            part = Times(times.starts[start : start + most], times.nodes)
            pieces.append((part, weights[start * nodes : (start + most) * nodes]))
    return Grid(tuple(pieces), whole.mission, whole.end)


def grid_of(groups: Sequence[Group], mission: Hours) -> Grid:
    """The grid on which groups are evaluated together over a mission [h]; with no group, one for constants.

    Groups with the same tests, times of repair and about the same rates have one grid.
    """
    clock = clock_of(groups)
    return grid(clock, mission, _steady(clock, mission))


def clock_of(groups: Sequence[Group]) -> Clock:
    """What the grid of groups depends on."""
    fastest = max((_fastest(group) for group in groups), default=0.0)
    return Clock(
        tuple(dict.fromkeys(rhythm for group in groups for rhythm in group.rhythms())),
        tuple(sorted({group.repair for group in groups})),
        tuple(sorted({group.restoration for group in groups})),
        _rounded_up(fastest),
        max((group.failures for group in groups), default=1),
        tuple(dict.fromkeys(window for group in groups for window in group.in_test)),
    )


def _rounded_up(rate: PerHour) -> PerHour:
    """The next of 1, 2, 3 ... 9, 10 times a power of ten, so that groups with about the same rates share a grid."""
    if rate <= 0.0:
        return 0.0
    power = 10.0 ** floor(log10(rate))
    return ceil(rate / power * (1.0 - 1e-9)) * power


def _fastest(group: Group) -> PerHour:
    """The highest rate of undetected failures of a channel [1/h]."""
    return max(sum(float(np.max(device.du)) for device in devices_of(channel)) for channel in group.channels)


@lru_cache(maxsize=128)
def _steady(clock: Clock, mission: Hours) -> Steady | None:
    """From when on everything repeats [h], and with which period; None where that is not within the mission.

    What one interval leaves to the next is what is still in repair, so a deviation shrinks by lambda x MRT + exp(-T/MRT) in it;
    it counts for about MRT of the interval, once for each failure that has a group down.
    """
    period = common_period(clock.rhythms, mission) if clock.rhythms else None
    if period is None:
        return None
    rhythms = [rhythm for rhythm in clock.rhythms if rhythm]
    repair = max(clock.repairs)
    periods = 0
    for rhythm in rhythms:
        left = clock.fastest * repair + (exp(-rhythm.interval / repair) if repair else 0.0)
        if left >= 1.0:
            return None
        if left > 0.0:
            weight = clock.failures * min(1.0, repair / rhythm.interval)
            periods = max(periods, ceil(log(FORGOTTEN / weight) / (log(left) * period / rhythm.interval)))
    late = max((rhythm.offset or rhythm.interval) for rhythm in rhythms)
    late += max((window.delay + window.duration for window in clock.in_test), default=0.0)
    settled = DECAYED * max(clock.restorations)
    return float(rounded(np.array(max(late, settled) + periods * period))), period
