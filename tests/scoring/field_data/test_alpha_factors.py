"""Alpha factors: what counts do to a prior, conversions against each other, quantiles against scipy.stats."""

from __future__ import annotations

from math import comb, nan

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from scoring.field_data import alpha_factors
from scoring.field_data.alpha_factors import AlphaFactors
from scoring.limits import OutOfRange

parameter = st.floats(0.05, 200.0)
size = st.integers(2, 6)


def thetas(least: float = 0.05) -> st.SearchStrategy[tuple[float, ...]]:
    return size.flatmap(lambda number: st.tuples(*[st.floats(least, 200.0)] * number))


@given(thetas())
def test_the_marginal_interval_is_that_of_scipy_stats(theta: tuple[float, ...]) -> None:
    after = AlphaFactors(theta)
    for multiplicity, own in enumerate(theta, start=1):
        found = after.quantiles(multiplicity)
        outside = stats.beta.ppf((0.05, 0.5, 0.95), own, sum(theta) - own)
        assert (found.p5, found.p50, found.p95) == pytest.approx(tuple(outside), rel=1e-7, abs=1e-300)


@given(thetas(), st.data())
def test_a_posterior_mean_lies_between_prior_mean_and_share_of_the_record(
    theta: tuple[float, ...], data: st.DataObject
) -> None:
    counts = data.draw(st.tuples(*[st.integers(0, 50)] * len(theta)))
    assume(sum(counts))
    before, after = AlphaFactors(theta), AlphaFactors(theta).with_counts(counts)
    for count, earlier, later in zip(counts, before.means, after.means, strict=True):
        low, high = sorted((earlier, count / sum(counts)))
        assert low - 1e-12 <= later <= high + 1e-12


@given(st.integers(1, 20), st.integers(1, 5))
def test_ten_times_the_record_narrows_the_interval(singles: int, doubles: int) -> None:
    """The relative width; the same shares, so that only the amount of data differs."""
    few = alpha_factors.jeffreys(2).with_counts((singles, doubles)).quantiles(2)
    many = alpha_factors.jeffreys(2).with_counts((10 * singles, 10 * doubles)).quantiles(2)
    assert many.p95 / many.p5 < few.p95 / few.p5


@given(thetas())
def test_shares_of_a_channel_add_to_one_tested_either_way(theta: tuple[float, ...]) -> None:
    alpha = AlphaFactors(theta).means
    for staggered in (True, False):
        found = alpha_factors.ratios(alpha, staggered=staggered)
        assert sum(comb(len(alpha) - 1, at) * ratio for at, ratio in enumerate(found)) == pytest.approx(1.0)


@given(thetas())
def test_greek_letters_give_the_same_shares_as_the_alphas(theta: tuple[float, ...]) -> None:
    alpha = AlphaFactors(theta).means
    for staggered in (True, False):
        letters = alpha_factors.greek_letters(alpha, staggered=staggered)
        assert alpha_factors.ratios_of_greek_letters(letters) == pytest.approx(
            alpha_factors.ratios(alpha, staggered=staggered)
        )


@given(thetas())
def test_testing_together_never_gives_a_lower_beta_than_testing_in_turn(theta: tuple[float, ...]) -> None:
    alpha = AlphaFactors(theta).means
    together, in_turn = (alpha_factors.greek_letters(alpha, staggered=staggered)[0] for staggered in (False, True))
    assert together >= in_turn - 1e-12


def test_failures_drawn_channel_by_channel_have_the_share_that_testing_together_finds() -> None:
    """Monte Carlo: of the failures of one channel, those that others share, in events drawn with alpha .7, .2, .1."""
    draw = np.random.default_rng(7)
    alpha, events = (0.7, 0.2, 0.1), 60_000
    sizes = draw.choice((1, 2, 3), size=events, p=alpha)
    hit = draw.random(events) < sizes / 3.0  # whether the event affects the first channel
    shared = float(np.mean(sizes[hit] > 1))
    beta = alpha_factors.greek_letters(alpha, staggered=False)[0]
    assert shared == pytest.approx(beta, abs=4.0 * (beta * (1.0 - beta) / hit.sum()) ** 0.5)


def test_a_factor_that_neither_prior_nor_record_knows_is_zero() -> None:
    found = AlphaFactors((3.0, 0.0)).quantiles(2)
    assert (found.p5, found.p95) == (0.0, 0.0)
    assert AlphaFactors((3.0, 0.0)).quantiles(1).p5 == 1.0


@pytest.mark.parametrize(
    ("make", "name"),
    [
        (lambda: AlphaFactors((1.0, nan)), "theta"),
        (lambda: AlphaFactors((0.0, 0.0)), "theta"),
        (lambda: AlphaFactors((1.0, -1.0)), "theta"),
        (lambda: alpha_factors.jeffreys(2).with_counts((nan, 1.0)), "count"),
        (lambda: alpha_factors.jeffreys(2).with_counts((1.0,)), "counts"),
        (lambda: alpha_factors.prior((0.9, 0.2), strength=1.0), "means"),
        (lambda: alpha_factors.prior((0.9, nan), strength=1.0), "mean"),
        (lambda: alpha_factors.prior((0.9, 0.1), strength=nan), "strength"),
        (lambda: alpha_factors.prior((0.9, 0.1), strength=0.0), "strength"),
        (lambda: alpha_factors.ratios((0.9, 0.2), staggered=True), "alpha"),
        (lambda: alpha_factors.ratios_of_greek_letters((nan,)), "letter"),
        (lambda: alpha_factors.jeffreys(2).quantiles(3), "multiplicity"),
    ],
)
def test_what_is_out_of_range_is_named(make: object, name: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        make()  # type: ignore[operator]
    assert refused.value.name == name
