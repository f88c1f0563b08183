"""Instants of tests, and at which of them a failure is found."""

from __future__ import annotations

from scoring.timeline.instants import Rhythm, common_period, search


def test_the_first_test_is_at_the_offset_or_after_one_interval() -> None:
    assert Rhythm(10.0).until(35.0).tolist() == [10.0, 20.0, 30.0]
    assert Rhythm(10.0, 4.0).until(30.0).tolist() == [4.0, 14.0, 24.0]
    assert Rhythm(10.0).until(10.0).tolist() == []


def test_a_failure_of_one_channel_is_found_at_its_next_test() -> None:
    found = search((Rhythm(10.0),), 1, 35.0)
    assert found.starts.tolist() == [0.0, 10.0, 20.0, 30.0]
    assert found.found_at.tolist() == [1, 2, 3, 4]


def test_a_shared_failure_waits_for_different_channels() -> None:
    """Three channels tested in turn: two different ones after any failure are the two next tests."""
    rhythms = (Rhythm(9.0, 3.0), Rhythm(9.0, 6.0), Rhythm(9.0))
    assert search(rhythms, 1, 19.0).found_at.tolist() == [1, 2, 3, 4, 5, 6, 7]
    assert search(rhythms, 2, 19.0).found_at.tolist() == [2, 3, 4, 5, 6, 7, 7]


def test_one_channel_that_is_tested_often_is_one_channel() -> None:
    found = search((Rhythm(2.0), Rhythm(8.0)), 2, 17.0)
    assert [found.starts[at] for at in found.found_at[:8]] == [8.0] * 4 + [16.0] * 4


def test_what_no_test_finds_is_never_found() -> None:
    found = search((None,), 1, 100.0)
    assert (found.starts.tolist(), found.found_at.tolist()) == ([0.0], [1])


def test_a_common_period_is_the_least_common_multiple_within_the_mission() -> None:
    assert common_period([Rhythm(6.0), Rhythm(4.0, 1.0)], 100.0) == 12.0
    assert common_period([Rhythm(6.0), Rhythm(4.0)], 11.0) is None
    assert common_period([Rhythm(6.0), None], 100.0) is None
