"""Open-PSA Model Exchange Format, meta-logical layer: the common-cause group of four pumps."""

from __future__ import annotations

from math import comb

import pytest

from scoring.field_data import alpha_factors


def test_four_pumps_with_the_factors_of_the_example() -> None:
    """Factors .10, .20, .30 read; fractions Confidence: derived from them, in four digits."""
    found = alpha_factors.ratios_of_greek_letters((0.10, 0.20, 0.30))
    assert found == pytest.approx((0.9, 0.02667, 0.004667, 0.006), rel=2e-4)


def test_the_shares_of_one_channel_add_to_all_its_failures() -> None:
    """Q1 + 3 Q2 + 3 Q3 + Q4 = Q_t. Confidence: derived."""
    found = alpha_factors.ratios_of_greek_letters((0.10, 0.20, 0.30))
    assert sum(comb(3, number) * ratio for number, ratio in enumerate(found)) == pytest.approx(1.0)
