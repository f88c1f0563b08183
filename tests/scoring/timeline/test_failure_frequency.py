"""The mean rate of failing, as PFH, against the probability of a first failure within one interval."""

from __future__ import annotations

from math import exp

import pytest

from scoring.timeline.group import Group
from scoring.voting import Voting
from tests.scoring.timeline.given import YEAR, like, mean_failing, one_device

FIRST_FAILURE = {(1, 2): 1.0699e-07, (1, 3): 1.00011e-07, (2, 4): 1.00176e-07}
"""F(T)/T for lambda_DU 1e-6/h, beta 10 %, T one year: the general model in Rausand 2014, ch. 9 (from memory), evaluated."""


@pytest.mark.parametrize("voting", FIRST_FAILURE, ids=str)
def test_without_repair_a_group_fails_at_most_once_between_two_tests(voting: tuple[int, int]) -> None:
    """So the mean rate is the probability of a failure within the interval, divided by it. The values have five digits."""
    rate = mean_failing(like(Voting(*voting), 1e-6, beta=0.1), YEAR)
    assert rate == pytest.approx(FIRST_FAILURE[voting], rel=6e-5)


def test_one_channel_fails_as_often_as_it_is_sound() -> None:
    rate = mean_failing(like(Voting(1, 1), 1e-5), YEAR)
    assert rate == pytest.approx((1.0 - exp(-1e-5 * YEAR)) / YEAR, rel=1e-9)


def test_a_detected_failure_counts_as_the_last_one_only_where_it_is_not_acted_on() -> None:
    group = Group(Voting(1, 1), (one_device(1e-6, dd=3e-6),), 0.0, 1e-3)
    assert mean_failing(group, YEAR, detected=True) == pytest.approx(4.0 * mean_failing(group, YEAR), rel=1e-6)
