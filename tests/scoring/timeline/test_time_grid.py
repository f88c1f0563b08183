"""The mean over the mission: one period stands for all that follow it, and the grid is fine enough."""

from __future__ import annotations

import numpy as np
import pytest

from scoring.timeline import time_grid
from scoring.timeline.group import Device, Group, Sought
from scoring.timeline.instants import Rhythm
from scoring.timeline.time_grid import Grid, grid_of
from scoring.timeline.unavailability import History
from scoring.voting import Voting
from tests.scoring.timeline.given import YEAR

MISSION = 131400.0
AGREED = 1e-10


def _channel(rate: float, offset: float, *, rest: bool = False) -> tuple[Device]:
    tests = [Sought(0.6, Rhythm(2190.0, offset / 4.0)), Sought(0.3 if rest else 0.4, Rhythm(YEAR, offset))]
    return (Device(rate, rate / 2.0, (*tests, *([Sought(0.1, None)] if rest else []))),)


def _group(*, rest: bool) -> Group:
    channels = tuple(
        _channel(rate, offset, rest=rest) for rate, offset in ((2e-6, 0.0), (1e-6, 2920.0), (4e-6, 5840.0))
    )
    return Group(Voting(2, 3), channels, 24.0, 48.0, beta=0.1, beta_d=0.05)


def _mean(group: Group, grid: Grid) -> float:
    return float(grid.mean(History(group, grid.mission).down(grid.at))[0])


def _fine(group: Group) -> Grid:
    """Every interval of the mission, in pieces of a few hours."""
    rhythms = [rhythm for rhythm in group.rhythms() if rhythm]
    instants = np.unique(np.concatenate([np.arange(0.0, MISSION, 6.0), *(rhythm.until(MISSION) for rhythm in rhythms)]))
    return time_grid.grid(instants, MISSION, repairs=[], restorations=[], fastest=0.0, steady=None)


@pytest.mark.parametrize("rest", [False, True], ids=["all is found", "a rest is never found"])
def test_the_mean_is_that_of_a_much_finer_grid_over_the_whole_mission(*, rest: bool) -> None:
    group = _group(rest=rest)
    grid, fine = grid_of([group], MISSION), _fine(group)
    assert len(grid.at) < len(fine.at) / 8
    assert grid.weights.sum() == pytest.approx(MISSION, rel=1e-12)
    assert _mean(group, grid) == pytest.approx(_mean(group, fine), rel=AGREED)


@pytest.mark.parametrize("years", [15.0, 15.3, 15.5, 12.75])
@pytest.mark.parametrize("first", [0.0, 2190.0, 4380.0])
def test_a_mission_of_any_length_is_counted_whole_whenever_the_tests_are(years: float, first: float) -> None:
    """Against the grid without the short cut. No test falls on the start of a period where all offsets are above 0."""
    mission = years * YEAR
    group = Group(
        Voting(1, 2), tuple(_channel(rate, first) for rate in (2e-6, 1e-6)), 24.0, 48.0, beta=0.1, beta_d=0.05
    )
    grid = grid_of([group], mission)
    instants = np.unique(np.concatenate([[0.0], *(rhythm.until(mission) for rhythm in group.rhythms() if rhythm)]))
    whole = time_grid.grid(instants, mission, repairs=[24.0], restorations=[48.0], fastest=1e-5, steady=None)
    assert len(grid.at) < len(whole.at)
    assert grid.weights.sum() == pytest.approx(mission, rel=1e-12)
    assert _mean(group, grid) == pytest.approx(_mean(group, whole), rel=AGREED)
