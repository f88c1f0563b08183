"""The mean in a steady rhythm of tests against closed forms: no repair, every failure found, lambda x T = 8.76e-3.

Source: the means of 1 - (1 - p)^n and of its kind over one interval, with p = 1 - exp(-lambda t), derived and evaluated outside the
project; published values for staggered tests could not be read. Confidence: derived.
"""

from __future__ import annotations

import pytest

from scoring.voting import Voting
from tests.scoring.timeline.given import YEAR, like, mean_down

RATE = 1e-6
SIMULTANEOUS = {
    (1, 1): 4.367238360e-3, (1, 2): 2.541182952e-5, (2, 3): 7.590288968e-5, (1, 3): 1.662994448e-7, (2, 4): 6.617157511e-7,
}  # fmt: skip
STAGGERED = {(1, 2): 1.590324462e-5, (2, 3): 5.076806043e-5, (1, 3): 5.559861602e-8, (2, 4): 2.495298439e-7}
PRINTED = 2e-10
"""The values have ten digits."""
LONG = 300
"""Years after which the first interval, in which not every channel was tested yet, is taken off the mean."""


@pytest.mark.parametrize("voting", SIMULTANEOUS, ids=str)
def test_channels_tested_on_one_day(voting: tuple[int, int]) -> None:
    mean = mean_down(like(Voting(*voting), RATE), 40 * YEAR)
    assert mean == pytest.approx(SIMULTANEOUS[voting], rel=PRINTED)


@pytest.mark.parametrize("voting", STAGGERED, ids=str)
def test_channels_tested_evenly_spread(voting: tuple[int, int]) -> None:
    group = like(Voting(*voting), RATE, staggered=True)
    whole, first = mean_down(group, LONG * YEAR), mean_down(group, YEAR)
    assert (whole * LONG - first) / (LONG - 1) == pytest.approx(STAGGERED[voting], rel=PRINTED)


def test_a_shared_failure_of_two_is_found_at_the_next_of_two_staggered_tests() -> None:
    """Beta x lambda x T / 4 in place of T / 2: 1oo2 works again when one channel is sound. To the leading order in lambda T."""
    rate, beta = 1e-9, 0.5
    apart = mean_down(like(Voting(1, 2), rate, staggered=True, beta=beta), LONG * YEAR)
    assert apart == pytest.approx(beta * rate * YEAR / 4.0, rel=2.0 / LONG)
    at_once = mean_down(like(Voting(1, 2), rate, beta=beta), LONG * YEAR)
    assert at_once == pytest.approx(beta * rate * YEAR / 2.0, rel=1e-5)


def test_where_two_channels_must_be_sound_a_shared_failure_lasts_until_both_were_tested() -> None:
    """2oo3, three staggered tests: found at the second test after it, on average T/3 + T/6 = T/2 later."""
    rate, beta = 1e-9, 0.5
    mean = mean_down(like(Voting(2, 3), rate, staggered=True, beta=beta), LONG * YEAR)
    assert mean == pytest.approx(beta * rate * YEAR / 2.0, rel=2.0 / LONG)
