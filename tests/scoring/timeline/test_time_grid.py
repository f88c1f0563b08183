"""The mean over the mission: one period stands for all that follow it, and few nodes are enough."""

from __future__ import annotations

import numpy as np
import pytest

from scoring.timeline import quadrature
from scoring.timeline.group import Device, Group, Sought
from scoring.timeline.instants import Rhythm
from scoring.timeline.time_grid import Grid, clock_of, grid, grid_of
from scoring.timeline.times import Times
from scoring.timeline.unavailability import History
from scoring.voting import Voting
from tests.scoring.timeline.given import YEAR

MISSION = 4.3 * YEAR
AGREED = 1e-9
FINE = 6.0
"""Length of the pieces of the grid to compare with [h]; each has four nodes."""


def _channel(rate: float, offset: float, *, rest: bool = False) -> tuple[Device]:
    tests = [Sought(0.6, Rhythm(2190.0, offset / 4.0)), Sought(0.3 if rest else 0.4, Rhythm(YEAR, offset))]
    return (Device(rate, rate / 2.0, (*tests, *([Sought(0.1, None)] if rest else []))),)


def _group(voting: Voting, rates: tuple[float, ...], *, mrt: float, mttr: float, rest: bool = False) -> Group:
    channels = tuple(_channel(rate, 2920.0 * place % YEAR, rest=rest) for place, rate in enumerate(rates))
    return Group(voting, channels, mrt, mttr, beta=0.1, beta_d=0.05)


def _mean(group: Group, on: Grid) -> float:
    return float(on.mean(History(group, on.end).down)[0])


def _fine(group: Group, mission: float) -> Grid:
    """Every interval of the mission, in pieces of a few hours."""
    instants = [rhythm.until(mission) for rhythm in group.rhythms() if rhythm]
    ends = np.unique(np.round(np.concatenate([np.arange(0.0, mission, FINE), [mission], *instants]), 6))
    nodes, weights = np.polynomial.legendre.leggauss(4)
    half, middle = np.diff(ends)[:, None] / 2.0, (ends[:-1, None] + ends[1:, None]) / 2.0
    return Grid(((Times.single((middle + half * nodes).ravel()), (half * weights).ravel()),), mission, mission)


def _nodes(on: Grid) -> int:
    return sum(len(weights) for _, weights in on.pieces)


def _weight(on: Grid) -> float:
    return float(sum(weights.sum() for _, weights in on.pieces))


GROUPS = {
    "2oo3": _group(Voting(2, 3), (2e-6, 1e-6, 4e-6), mrt=24.0, mttr=48.0),
    "2oo3, a rest is never found": _group(Voting(2, 3), (2e-6, 1e-6, 4e-6), mrt=24.0, mttr=48.0, rest=True),
    "1oo1, one time of repair": _group(Voting(1, 1), (3e-6,), mrt=24.0, mttr=24.0),
    "1oo4": _group(Voting(1, 4), (2e-6, 1e-6, 4e-6, 3e-6), mrt=8.0, mttr=8.0),
    "1oo3 at high rates": _group(Voting(1, 3), (1e-4, 3e-5, 6e-5), mrt=72.0, mttr=24.0),
    "1oo2, repair as long as an interval": _group(Voting(1, 2), (2e-5, 1e-5), mrt=720.0, mttr=1440.0),
    "2oo3, repair of detected failures alone": _group(Voting(2, 3), (2e-6, 1e-6, 4e-6), mrt=0.0, mttr=24.0),
    "1oo2, detected failures repaired slowly": _group(Voting(1, 2), (2e-6, 1e-6), mrt=8.0, mttr=720.0),
    "2oo3 without repair": _group(Voting(2, 3), (2e-6, 1e-6, 4e-6), mrt=0.0, mttr=0.0),
}


@pytest.mark.parametrize("group", GROUPS.values(), ids=GROUPS)
def test_the_mean_is_that_of_a_much_finer_grid_over_the_whole_mission(group: Group) -> None:
    few, fine = grid_of([group], MISSION), _fine(group, MISSION)
    assert _nodes(few) < _nodes(fine) / 10
    assert _weight(few) == pytest.approx(MISSION, rel=1e-12)
    assert _mean(group, few) == pytest.approx(_mean(group, fine), rel=AGREED)


@pytest.mark.parametrize("repairs", [(24.0,), (720.0,), (24.0, 48.0), ()], ids=str)
@pytest.mark.parametrize("failures", [1, 3])
def test_a_rule_is_exact_for_polynomials_times_what_is_in_repair(repairs: tuple[float, ...], failures: int) -> None:
    """The exact value of the integral of s exp(-c s) from 0 to L is (1 - exp(-c L) (1 + c L)) / c^2."""
    length, rates = 730.0, [1.0 / repair for repair in repairs]
    nodes, weights = quadrature.compressed(length, repairs, failures, 3)
    assert weights.sum() == pytest.approx(length, rel=1e-12)
    assert weights @ nodes == pytest.approx(length**2 / 2.0, rel=1e-12)
    for decay in [*rates, *([2.0 * rates[0], sum(rates)] if rates else [])]:
        exact = (1.0 - np.exp(-decay * length) * (1.0 + decay * length)) / decay**2
        assert weights @ (nodes * np.exp(-decay * nodes)) == pytest.approx(exact, rel=1e-11)


@pytest.mark.parametrize("years", [15.0, 15.3, 15.5, 12.75])
@pytest.mark.parametrize("first", [0.0, 2190.0, 4380.0])
def test_a_mission_of_any_length_is_counted_whole_whenever_the_tests_are(years: float, first: float) -> None:
    """Against the grid without the short cut. No test falls on the start of a period where all offsets are above 0."""
    mission = years * YEAR
    group = Group(
        Voting(1, 2), tuple(_channel(rate, first) for rate in (2e-6, 1e-6)), 24.0, 48.0, beta=0.1, beta_d=0.05
    )
    short, whole = grid_of([group], mission), grid(clock_of([group]), mission, None)
    assert _nodes(short) < _nodes(whole)
    assert _weight(short) == pytest.approx(mission, rel=1e-12)
    assert _mean(group, short) == pytest.approx(_mean(group, whole), rel=1e-10)


def test_groups_with_several_times_of_repair_have_one_grid() -> None:
    """Their function is evaluated at the same times: each of three is as exact there as alone."""
    groups = [_group(Voting(1, 2), (2e-6, 1e-6), mrt=mrt, mttr=24.0) for mrt in (8.0, 24.0, 72.0)]
    together = grid_of(groups, MISSION)
    for group in groups:
        assert _mean(group, together) == pytest.approx(_mean(group, _fine(group, MISSION)), rel=AGREED)
