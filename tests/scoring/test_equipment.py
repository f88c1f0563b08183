"""Tests and repair of a channel: what is found when."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.equipment import Channel, Found, Rates, Upkeep, VotedGroup, in_turn, together
from scoring.limits import OutOfRange
from scoring.voting import Voting

YEAR = 8760.0
TESTS = st.lists(st.tuples(st.floats(100.0, 1e5), st.floats(0.0, 1.0)), max_size=4)


@given(tests=TESTS)
def test_every_failure_is_found_once_whatever_the_tests(tests: list[tuple[float, float]]) -> None:
    found = in_turn(tests, 131400.0)
    assert sum(part.share for part in found) == pytest.approx(1.0)
    assert all(part.share > 0.0 for part in found)


@given(tests=TESTS, more=st.tuples(st.floats(100.0, 1e5), st.floats(0.0, 1.0)))
def test_one_more_test_never_makes_failures_last_longer(
    tests: list[tuple[float, float]], more: tuple[float, float]
) -> None:
    """The mission is the longest interval, and repair takes no time: with repair a test that finds more adds its MRT."""
    before, after = (Upkeep(in_turn(listed, 1e5), 0.0, 0.0).undetected_down(2) for listed in (tests, [*tests, more]))
    assert after <= before * (1.0 + 1e-12)


def test_a_rest_without_a_mission_time_is_refused() -> None:
    with pytest.raises(OutOfRange, match="mission time"):
        in_turn([(YEAR, 0.9)], None)
    assert in_turn([(YEAR, 0.9), (87600.0, 1.0)], None)[-1] == Found(1.0 - 0.9, 87600.0)


def test_nobody_repairs_what_is_found_at_the_end_of_the_mission() -> None:
    tested = Upkeep((Found(1.0, 131400.0),), 24.0, 24.0)
    untested = Upkeep((Found(1.0, 131400.0, by_test=False),), 24.0, 24.0)
    assert tested.undetected_down(2) - untested.undetected_down(2) == 24.0


def test_devices_in_series_are_weighted_with_their_undetected_rate() -> None:
    """A solenoid of 300 FIT tested yearly, a valve of 900 FIT with half of it found monthly: by hand."""
    found = together([(300.0, in_turn([(YEAR, 1.0)], None)), (900.0, in_turn([(YEAR, 1.0), (730.0, 0.5)], None))])
    assert {(part.share, part.interval) for part in found} == {(0.375, 730.0), (0.625, YEAR)}


def test_a_1oo2d_group_needs_its_switch_and_like_channels() -> None:
    upkeep = Upkeep.proof_test(interval=YEAR, coverage=1.0, full_interval=YEAR, mrt=8.0, mttr=8.0)
    one, other = (Channel(Rates(rate, 1e-7, 1e-7), upkeep) for rate in (1e-7, 2e-7))
    voting = Voting(1, 2, diagnostic=True)
    with pytest.raises(OutOfRange, match="K"):
        VotedGroup(voting, (one, one), acts_on_detected=True)
    with pytest.raises(OutOfRange, match="like channels"):
        VotedGroup(voting, (one, other), acts_on_detected=True, switch=0.9)
