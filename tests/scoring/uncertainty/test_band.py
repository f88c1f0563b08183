"""Quantiles of a sample, and the probability of missing a target, against the lognormal distribution."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from scoring.uncertainty import band, points
from scoring.uncertainty.distributions import Lognormal


def test_a_lognormal_sample_has_the_quantiles_of_its_distribution() -> None:
    drawn = Lognormal(2e-3, 5.0)
    logs = np.log(drawn.at(points.sobol(1, power=13, seed=7)[0]))
    found = band.band(logs)
    assert found.p50 == pytest.approx(drawn.median, rel=1e-3)
    assert found.p95 == pytest.approx(5.0 * drawn.median, rel=1e-3)
    assert found.p5 == pytest.approx(drawn.median / 5.0, rel=1e-3)
    frozen = stats.lognorm(s=drawn.sigma, scale=drawn.median)
    # One coordinate of a Sobol sequence is stratified: the share beyond a limit is right to one point in 8,192.
    assert band.misses(logs, 3e-3) == pytest.approx(float(frozen.sf(3e-3)), abs=1.5 / 8192)


def test_the_band_of_the_inverse_has_its_ends_exchanged() -> None:
    assert band.Band(1e-3, 2e-3, 4e-3).inverse == band.Band(250.0, 500.0, 1000.0)
