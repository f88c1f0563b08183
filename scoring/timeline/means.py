"""Means of groups over a mission: many groups that differ in their rates and betas only are evaluated together."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from scoring.timeline.group import Device, Group
from scoring.timeline.histories import history
from scoring.timeline.time_grid import grid_of, in_parts
from scoring.timeline.times import Times
from scoring.timeline.unavailability import History
from scoring.units import Array, Fractions, Hours

BLOCK = 512
"""Groups that are evaluated at once."""


def mean_down(group: Group, mission: Hours) -> Array:
    """Mean probability of being down over a mission [h], for each of the groups."""
    return _means(group, mission, lambda group_history: group_history.down)


def mean_failing(group: Group, mission: Hours, *, detected: bool) -> Array:
    """Mean rate of failing over a mission [1/h], for each of the groups; ``detected`` as in ``History.failing``."""
    return _means(group, mission, lambda group_history: lambda times: group_history.failing(times, detected=detected))


def _means(group: Group, mission: Hours, value: Callable[[History], Callable[[Times], Array]]) -> Array:
    count = max(np.size(each) for each in _fractions(group))
    grid = in_parts(grid_of([group], mission), min(count, BLOCK))
    return np.concatenate([grid.mean(value(history(block, grid.end))) for block in _blocks(group, count)])


def _fractions(group: Group) -> list[Fractions]:
    rates = [rate for channel in group.channels for device in channel for rate in (device.du, device.dd)]
    return [group.beta, group.beta_d, *rates]


def _blocks(group: Group, count: int) -> Iterator[Group]:
    """The groups in blocks; like channels stay one object."""
    if count <= BLOCK:
        yield group
        return
    for start in range(0, count, BLOCK):
        part = slice(start, start + BLOCK)
        alike = {id(channel): tuple(_rows(device, part) for device in channel) for channel in group.channels}
        channels = tuple(alike[id(channel)] for channel in group.channels)
        yield replace(group, channels=channels, beta=_part(group.beta, part), beta_d=_part(group.beta_d, part))


def _rows(device: Device, part: slice) -> Device:
    return replace(device, du=_part(device.du, part), dd=_part(device.dd, part))


def _part(values: Fractions, part: slice) -> Fractions:
    return values[part] if isinstance(values, np.ndarray) and values.size > 1 else values
