"""Time in test and test errors."""

from __future__ import annotations

import pytest

from scoring.limits import OutOfRange
from scoring.testing import NO_TERMS, GroupTest, pfd_terms, pfh_terms


def test_time_in_test_is_the_share_of_time_out_of_service() -> None:
    """Two hours a year and one hour a month out of service, by hand."""
    terms = pfd_terms([GroupTest(8760.0, 2.0, 1, 0.0), GroupTest(730.0, 1.0, 1, 0.0)])
    assert terms.time_in_test == pytest.approx((2.0 + 12.0) / 8760.0)
    assert terms.test_error == 0.0


def test_a_group_out_at_three_different_times_is_out_three_times_as_long() -> None:
    staggered, together = (pfd_terms([GroupTest(8760.0, 2.0, out, 0.0)]).total for out in (3, 1))
    assert staggered == pytest.approx(3.0 * together)


def test_an_error_lasts_until_the_next_test_and_comes_once_an_interval() -> None:
    tests = [GroupTest(8760.0, 0.0, 0, 0.001)]
    assert pfd_terms(tests).test_error == 0.001
    assert pfh_terms(tests).total == pytest.approx(0.001 / 8760.0)


def test_planned_time_in_test_is_no_failure() -> None:
    assert pfh_terms([GroupTest(8760.0, 2.0, 1, 0.0)]) == NO_TERMS


def test_a_test_longer_than_its_interval_is_refused() -> None:
    with pytest.raises(OutOfRange, match="time in test"):
        GroupTest(24.0, 25.0, 1, 0.0)
