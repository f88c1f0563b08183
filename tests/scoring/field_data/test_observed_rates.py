"""Observed rates against scipy.stats, and how often the interval covers a known rate."""

from __future__ import annotations

from math import inf, log, nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from scoring.field_data.observed_rates import observed_rate
from scoring.limits import OutOfRange


@given(st.integers(0, 200), st.floats(1.0, 1e9))
def test_the_interval_is_the_chi_squared_one(failures: int, hours: float) -> None:
    """Lambda between chi2(0.05; 2n) / 2T and chi2(0.95; 2n + 2) / 2T (IEC 60605-4, from memory)."""
    found = observed_rate(failures=failures, hours=hours)
    low = stats.chi2.ppf(0.05, 2 * failures) / (2.0 * hours) if failures else 0.0
    assert found.low == pytest.approx(low, rel=1e-9)
    assert found.high == pytest.approx(stats.chi2.ppf(0.95, 2 * failures + 2) / (2.0 * hours), rel=1e-9)
    assert found.low <= found.estimate <= found.high


@given(st.integers(0, 200), st.floats(1.0, 1e9))
def test_jeffreys_interval_is_the_gamma_one_and_lies_inside(failures: int, hours: float) -> None:
    found = observed_rate(failures=failures, hours=hours)
    outside = stats.gamma.ppf((0.05, 0.5, 0.95), failures + 0.5, scale=1.0 / hours)
    assert (found.jeffreys.p5, found.jeffreys.p50, found.jeffreys.p95) == pytest.approx(tuple(outside), rel=1e-9)
    assert found.low <= found.jeffreys.p5 < found.jeffreys.p95 < found.high


def test_no_failure_leaves_three_over_the_time() -> None:
    """The rule of three, ln 20 = 2.996 at 95 %. Common practice, no source."""
    found = observed_rate(failures=0, hours=1e6)
    assert (found.low, found.high) == pytest.approx((0.0, log(20.0) / 1e6))


def test_one_device_with_ten_times_the_rate_is_seen_as_more_than_assumed() -> None:
    found = observed_rate(failures=10, hours=1e6)
    assert [found.standing(rate) for rate in (1e-6, 1e-5, 1e-4)] == ["below", "within", "above"]


def test_nine_intervals_in_ten_or_more_cover_the_rate_that_the_failures_were_drawn_with() -> None:
    """Monte Carlo: the chi-squared interval is conservative. Tolerance: four standard errors."""
    draw, histories, rate, hours = np.random.default_rng(11), 2_000, 2e-6, 2e6
    numbers = draw.poisson(rate * hours, size=histories)
    covered = sum(observed_rate(failures=int(number), hours=hours).standing(rate) == "within" for number in numbers)
    assert covered / histories >= 0.9 - 4.0 * (0.9 * 0.1 / histories) ** 0.5


@pytest.mark.parametrize(("failures", "hours"), [(-1, 1.0), (nan, 1.0), (1, 0.0), (1, nan), (1, inf)])
def test_what_gives_no_rate_is_refused(failures: float, hours: float) -> None:
    with pytest.raises(OutOfRange):
        observed_rate(failures=failures, hours=hours)  # type: ignore[arg-type]
