"""The chart of beta from own failures: interval, median, beta in use, and the published range beside them."""

from __future__ import annotations

import pytest

from checks.reassessment.own_beta import own_betas
from pages.charts.beta_intervals import OWN, PUBLISHED, beta_intervals
from tests.checks.reassessment.own import failed, history

NAMES = {"esv-501": "Fuel gas valves", "pt-301": "Pressure"}


def test_an_interval_spans_its_quantiles_and_ticks_the_beta_in_use() -> None:
    (estimate,) = own_betas(history([failed("esv-501", "ESV-501A", "ESV-501B")]), ["esv-501"])
    chart = beta_intervals([estimate], NAMES)
    own, published = chart.rows
    assert estimate.beta is not None
    ((low, high, fill),) = own.bars
    assert (low, high, fill) == (estimate.beta.p5 * 100.0, estimate.beta.p95 * 100.0, OWN)
    assert own.dot == estimate.beta.p50 * 100.0
    assert own.tick == estimate.in_use * 100.0
    assert published.bars == ((3.0, 22.0, PUBLISHED),)
    assert OWN.pattern != PUBLISHED.pattern
    assert all(chart.scale.low <= value <= chart.scale.high for value in own.values)


def test_without_failures_there_is_no_chart() -> None:
    assert beta_intervals(own_betas(history(), ["esv-501", "pt-301"]), NAMES).rows == ()


@pytest.mark.parametrize("count", [1, 300])
def test_a_scale_reaches_down_to_a_hundredth_of_a_per_cent_at_most(count: int) -> None:
    estimates = own_betas(history([failed("esv-501", "ESV-501A")] * count), ["esv-501"])
    assert 0.01 <= beta_intervals(estimates, NAMES).scale.low <= 0.1
