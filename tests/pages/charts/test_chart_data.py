"""Scales: positions of values, and ticks."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pages.charts.chart_data import Scale, scale_around

POSITIVE = st.floats(min_value=1e-9, max_value=1e9)


@pytest.mark.parametrize(
    ("low", "high", "numbers"),
    [
        (1.0, 1e4, ["1", "10", "100", "1,000", "10,000"]),
        (60.0, 1600.0, ["100", "200", "500", "1,000"]),
        (380.0, 620.0, ["400", "500", "600"]),
        (0.1, 100.0, ["0.1", "1", "10", "100"]),
        (8e5, 7e7, ["1e6", "2e6", "5e6", "1e7", "2e7", "5e7"]),
        (1.2e6, 2.2e6, ["1.5e6", "2e6"]),
    ],
)
def test_ticks_are_whole_decades_with_steps_between_few(low: float, high: float, numbers: list[str]) -> None:
    assert [number for _, number in Scale(low, high, "").ticks()] == numbers


def test_a_linear_scale_is_in_per_cent() -> None:
    scale = Scale(0.0, 100.0, "", linear=True)
    assert scale.share(25.0) == pytest.approx(0.25)
    assert [number for _, number in scale.ticks()] == ["0 %", "25 %", "50 %", "75 %", "100 %"]


@given(st.lists(POSITIVE, min_size=1, max_size=8))
def test_every_value_of_a_chart_is_inside_its_scale_in_order(values: list[float]) -> None:
    scale = scale_around(values, "")
    shares = [scale.share(value) for value in sorted(values)]
    assert shares[0] > 0.0
    assert shares[-1] < 1.0
    assert shares == sorted(shares)


@given(POSITIVE, st.floats(min_value=1.01, max_value=1e6))
def test_ticks_are_ascending_and_inside_the_scale(low: float, ratio: float) -> None:
    scale = Scale(low, low * ratio, "")
    values = [value for value, _ in scale.ticks()]
    assert all(first < second for first, second in pairwise(values))
    assert all(scale.low <= value <= scale.high for value in values)


def test_values_outside_a_scale_are_clipped() -> None:
    scale = Scale(10.0, 1000.0, "")
    assert (scale.share(1.0), scale.share(1e9)) == (0.0, 1.0)
