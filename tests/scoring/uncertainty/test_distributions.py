"""Distributions by their inverse, against scipy's distributions and their moments."""

from __future__ import annotations

from math import exp, log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from scoring.limits import OutOfRange
from scoring.uncertainty.distributions import Lognormal, Triangle

POINTS = np.array([1e-6, 0.01, 0.05, 0.3, 0.5, 0.7, 0.95, 0.99, 1.0 - 1e-6])


@given(mean=st.floats(1e-9, 1e3), error_factor=st.floats(1.001, 100.0))
def test_a_lognormal_quantity_has_the_quantiles_of_scipy(mean: float, error_factor: float) -> None:
    drawn = Lognormal(mean, error_factor)
    sigma = log(error_factor) / stats.norm.ppf(0.95)
    frozen = stats.lognorm(s=sigma, scale=mean * exp(-(sigma**2) / 2.0))
    assert drawn.at(POINTS) == pytest.approx(frozen.ppf(POINTS), rel=1e-9)
    assert frozen.mean() == pytest.approx(mean, rel=1e-9)


@given(mean=st.floats(1e-9, 1e3), error_factor=st.floats(1.0, 100.0))
def test_the_error_factor_is_the_95_per_cent_value_over_the_median(mean: float, error_factor: float) -> None:
    drawn = Lognormal(mean, error_factor)
    p5, p50, p95 = drawn.at(np.array([0.05, 0.5, 0.95]))
    assert p50 == pytest.approx(drawn.median)
    assert p95 / p50 == pytest.approx(error_factor)
    assert p50 / p5 == pytest.approx(error_factor)
    assert drawn.median <= mean


@given(ends=st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0)).map(sorted))
def test_a_triangle_has_the_quantiles_of_scipy(ends: list[float]) -> None:
    low, mode, high = ends
    if high - low < 1e-6:
        return
    c = min(1.0, (mode - low) / (high - low))
    expected = stats.triang(c=c, loc=low, scale=high - low).ppf(POINTS)
    assert Triangle(low, mode, high).at(POINTS) == pytest.approx(expected, abs=1e-9)


def test_what_has_one_value_only_is_certain() -> None:
    assert Lognormal(1.0, 1.0).certain
    assert Triangle(0.05, 0.05, 0.05).certain
    assert not Lognormal(1.0, 1.1).certain
    assert Triangle(0.1, 0.1, 0.1).at(POINTS).tolist() == [0.1] * len(POINTS)


@pytest.mark.parametrize(
    ("kind", "given_values"),
    [
        (Lognormal, (1.0, 0.9)),
        (Lognormal, (0.0, 3.0)),
        (Lognormal, (float("nan"), 3.0)),
        (Triangle, (0.1, 0.05, 0.2)),
        (Triangle, (0.1, float("nan"), 0.2)),
    ],
)
def test_what_is_no_distribution_is_refused(kind: type, given_values: tuple[float, ...]) -> None:
    with pytest.raises(OutOfRange):
        kind(*given_values)
