"""Beta of a pair: the prior, its quantiles, and how often its interval covers a known beta."""

from __future__ import annotations

from math import nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.field_data import alpha_factors, impact_vectors, pair_beta
from scoring.field_data.quantiles import Quantiles
from scoring.limits import OutOfRange

beta = st.floats(0.001, 0.6)
ways = st.booleans()


@given(value=st.floats(0.0, 1.0), staggered=ways)
def test_alpha_and_beta_are_each_other_s_inverse(*, value: float, staggered: bool) -> None:
    alpha_2 = pair_beta.alpha_of(value, staggered=staggered)
    assert pair_beta.beta_of(alpha_2, staggered=staggered) == pytest.approx(value)
    assert pair_beta.beta_of(alpha_2, staggered=staggered) == pytest.approx(
        alpha_factors.greek_letters((1.0 - alpha_2, alpha_2), staggered=staggered)[0]
    )


@given(value=beta, staggered=ways)
def test_the_prior_has_the_beta_in_use_as_its_mean(*, value: float, staggered: bool) -> None:
    before = pair_beta.centred_prior(value, staggered=staggered)
    assert pair_beta.beta_of(before.means[1], staggered=staggered) == pytest.approx(value)


@given(value=beta, staggered=ways, events=st.integers(1, 50))
def test_independent_failures_alone_lower_beta(*, value: float, staggered: bool, events: int) -> None:
    before = pair_beta.centred_prior(value, staggered=staggered)
    after = before.with_counts((events, 0))
    earlier, later = (pair_beta.beta_quantiles(each, staggered=staggered) for each in (before, after))
    assert later.p50 < earlier.p50
    assert later.p95 < earlier.p95


@given(value=beta, staggered=ways, events=st.integers(1, 20))
def test_common_cause_events_alone_raise_beta(*, value: float, staggered: bool, events: int) -> None:
    before = pair_beta.centred_prior(value, staggered=staggered)
    after = before.with_counts((0, events))
    earlier, later = (pair_beta.beta_quantiles(each, staggered=staggered) for each in (before, after))
    assert later.p50 > earlier.p50


@pytest.mark.parametrize("staggered", [True, False])
def test_nine_intervals_in_ten_cover_the_beta_that_the_failures_were_drawn_with(*, staggered: bool) -> None:
    """Monte Carlo: a beta out of the prior, then 30 events of a pair with it. Tolerance: four standard errors."""
    draw, histories, events = np.random.default_rng(2026), 3_000, 30
    before = pair_beta.centred_prior(0.1, staggered=staggered)
    covered = 0
    for alpha_2 in draw.beta(before.theta[1], before.theta[0], size=histories):
        shared = int(draw.binomial(events, alpha_2))
        vectors = [impact_vectors.impact_vector(failed=2, size=2)] * shared
        vectors += [impact_vectors.impact_vector(failed=1, size=2)] * (events - shared)
        after = before.with_counts(impact_vectors.total(vectors, size=2))
        known = pair_beta.beta_of(float(alpha_2), staggered=staggered)
        covered += pair_beta.beta_quantiles(after, staggered=staggered).standing(known) == "within"
    assert covered / histories == pytest.approx(0.9, abs=4.0 * (0.9 * 0.1 / histories) ** 0.5)


@pytest.mark.parametrize("value", [0.0, 1.0, nan, -0.1])
def test_a_beta_that_no_failure_could_change_is_no_prior(value: float) -> None:
    with pytest.raises(OutOfRange):
        pair_beta.centred_prior(value, staggered=True)


def test_counts_of_three_channels_are_mapped_first() -> None:
    with pytest.raises(OutOfRange, match="map the counts first"):
        pair_beta.beta_quantiles(alpha_factors.jeffreys(3), staggered=True)


def test_the_ends_of_an_interval_belong_to_it() -> None:
    interval = Quantiles(0.1, 0.2, 0.3)
    assert [interval.standing(value) for value in (0.05, 0.1, 0.3, 0.31)] == ["below", "within", "within", "above"]
