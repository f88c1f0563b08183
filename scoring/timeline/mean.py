"""Mean unavailability and mean rate of failing over the mission, of one group or of several in a function."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil, exp, log

import numpy as np

from scoring.timeline.grid import Grid, grid
from scoring.timeline.group import Device, Group
from scoring.timeline.instants import Rhythm, common_period
from scoring.units import Hours, PerHour

FORGOTTEN = 1e-15
"""Share of a deviation from the steady rhythm below which it no longer counts."""


def grid_of(groups: Sequence[Group], mission: Hours) -> Grid:
    """The grid on which groups are evaluated together over a mission [h]; with no group, one for constants."""
    rhythms = list(dict.fromkeys(rhythm for group in groups for rhythm in group.rhythms()))
    instants = [rhythm.until(mission) for rhythm in rhythms if rhythm]
    fastest = max((_fastest(group) for group in groups), default=0.0)
    return grid(
        np.unique(np.concatenate([np.zeros(1), *instants])),
        mission,
        repairs=[group.repair for group in _all(groups)],
        restorations=[group.restoration for group in _all(groups)],
        fastest=fastest,
        steady=_steady(groups, rhythms, fastest, mission),
    )


def _all(groups: Iterable[Group]) -> Iterable[Group]:
    for group in groups:
        yield group
        yield from _all(device for channel in group.channels for device in channel if isinstance(device, Group))


def _fastest(group: Group) -> PerHour:
    """The highest rate of undetected failures of a channel or a device [1/h]."""
    rates = [
        sum(float(np.max(device.du)) for device in channel if isinstance(device, Device))
        for one in _all([group])
        for channel in one.channels
    ]
    return max(rates)


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
    repair = max(group.repair for group in _all(groups))
    left = fastest * repair + (exp(-shortest / repair) if repair else 0.0)
    if left >= 1.0:
        return None
    periods = 2 + (ceil(log(FORGOTTEN) / log(left)) if left > 0.0 else 0)
    late = max((rhythm.offset for rhythm in rhythms if rhythm), default=0.0)
    detected = max(group.restoration for group in _all(groups)) * -log(FORGOTTEN)
    begin = ceil(max(late, detected) / period) * period + periods * period
    return begin, period
