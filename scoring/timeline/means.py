"""Means of groups over a mission: many groups that differ in their rates and betas only are evaluated together."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

import numpy as np

from scoring.timeline.group import Device, Group, changed
from scoring.timeline.histories import history
from scoring.timeline.in_test import failing, left_failed, out_of_service
from scoring.timeline.time_grid import grid_of, in_parts
from scoring.timeline.times import Times
from scoring.timeline.unavailability import History
from scoring.units import Array, Fractions, Hours

BLOCK = 512
"""Groups that are evaluated at once."""
PARTS = 4
"""Parts of a value: coinciding failures, common cause, in test, test error."""


def mean_down(group: Group, mission: Hours) -> Array:
    """Mean probability of being down over a mission [h], for each of the groups."""
    return _means(group, mission, lambda group_history: group_history.down)


def mean_failing(group: Group, mission: Hours, *, detected: bool) -> Array:
    """Mean rate of failing over a mission [1/h], for each of the groups; ``detected`` as in ``History.failing``."""
    return _means(group, mission, lambda group_history: lambda times: group_history.failing(times, detected=detected))


def mean_down_in_parts(group: Group, mission: Hours) -> Array:
    """The means of ``History.down_in_parts`` over a mission [h], as (parts, groups)."""
    return _in_parts(group, mission, lambda group_history: group_history.down_in_parts)


def mean_failing_in_parts(group: Group, mission: Hours, *, detected: bool) -> Array:
    """The means of ``History.failing_in_parts`` over a mission [1/h], as (parts, groups)."""
    return _in_parts(
        group, mission, lambda group_history: lambda times: group_history.failing_in_parts(times, detected=detected)
    )


def mean_of_tests(group: Group, mission: Hours) -> tuple[float, float, float]:
    """What the tests of a group do by themselves, over a mission [h]: shares of time in test and left failed, rate of errors [1/h]."""
    grid = grid_of([group], mission)

    def beside(times: Times) -> Array:
        in_test, error = out_of_service(times, group.in_test, None), left_failed(times, group.errors)
        serving, sound = (1.0 if each is None else 1.0 - each for each in (in_test, error))
        columns = (1.0 - serving, serving * (1.0 - sound), failing(times, group.errors) * sound)
        return np.concatenate([np.broadcast_to(each, (len(times.at), 1)) for each in columns], axis=1)

    in_test, error, rate = grid.mean(beside).tolist()
    return in_test, error, rate


def _in_parts(group: Group, mission: Hours, value: Callable[[History], Callable[[Times], tuple[Array, ...]]]) -> Array:
    count = max(np.size(each) for each in group.fractions())
    grid = in_parts(grid_of([group], mission), PARTS * min(count, BLOCK))

    def rows(block: Group) -> Callable[[Times], Array]:
        parts_at, many = value(history(block, grid.end)), min(count, max(np.size(each) for each in block.fractions()))

        def beside(times: Times) -> Array:
            return np.concatenate([np.broadcast_to(part, (len(times.at), many)) for part in parts_at(times)], axis=1)

        return beside

    means = [grid.mean(rows(block)).reshape(PARTS, -1) for block in _blocks(group, count)]
    return np.concatenate(means, axis=1)


def _means(group: Group, mission: Hours, value: Callable[[History], Callable[[Times], Array]]) -> Array:
    count = max(np.size(each) for each in group.fractions())
    grid = in_parts(grid_of([group], mission), min(count, BLOCK))
    return np.concatenate([grid.mean(value(history(block, grid.end))) for block in _blocks(group, count)])


def _blocks(group: Group, count: int) -> Iterator[Group]:
    """The groups in blocks; like channels stay one object."""
    if count <= BLOCK:
        yield group
        return
    for start in range(0, count, BLOCK):
        part = slice(start, start + BLOCK)
        alike = {id(channel): changed(channel, partial(_rows, part)) for channel in group.channels}
        channels = tuple(alike[id(channel)] for channel in group.channels)
        yield replace(group, channels=channels, beta=_part(group.beta, part), beta_d=_part(group.beta_d, part))


def _rows(part: slice, device: Device) -> Device:
    return replace(device, du=_part(device.du, part), dd=_part(device.dd, part), sd=_part(device.sd, part))


def _part(values: Fractions, part: slice) -> Fractions:
    return values[part] if isinstance(values, np.ndarray) and values.size > 1 else values
