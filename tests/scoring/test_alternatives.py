"""Alternatives of which any is enough."""

from __future__ import annotations

from math import exp

import numpy as np
import pytest

from scoring import alternatives


def _exact(rates: list[float], interval: float) -> float:
    """Mean over one interval of the product of 1 - exp(-a t), by quadrature with numpy's Gauss-Legendre points."""
    points, weights = np.polynomial.legendre.leggauss(40)
    times = (points + 1.0) / 2.0 * interval
    product = np.prod([1.0 - np.exp(-rate * times) for rate in rates], axis=0)
    return float(weights @ product / 2.0)


@pytest.mark.parametrize(("count", "factor"), [(2, 4.0 / 3.0), (3, 2.0)])
def test_the_product_of_averages_is_too_good_by_the_printed_factor(count: int, factor: float) -> None:
    """Groups tested on one day, without repair: exact mean / product of means tends to 2^n / (n + 1). Confidence: derived."""
    rates = [1e-8 * (1.0 + number) for number in range(count)]
    means = [1.0 - (1.0 - exp(-rate * 8760.0)) / (rate * 8760.0) for rate in rates]
    product = float(alternatives.result("pfd", means, [], beta=0.0).total)
    assert _exact(rates, 8760.0) / product == pytest.approx(factor, rel=1e-3)
    assert {2: "4/3", 3: "2 for three"}[count] in alternatives.REMARK


def test_what_they_share_counts_with_the_smallest() -> None:
    split = alternatives.result("pfd", [1e-2, 4e-3], [], beta=0.05)
    assert split.shared == pytest.approx(2e-4)
    assert alternatives.result("pfd", [1e-2, 4e-3], [], beta=1.0).total >= 4e-3, "nothing left of the alternative"


def test_a_frequency_counts_each_group_as_the_last_to_fail() -> None:
    split = alternatives.result("pfh", [1e-2, 2e-3], [3e-6, 1e-6], beta=0.0)
    assert split.total == pytest.approx(3e-6 * 2e-3 + 1e-6 * 1e-2)


def test_arrays_give_the_same_as_numbers() -> None:
    values = np.array([1e-3, 1e-2])
    total = alternatives.result("pfd", [values, 5e-3], [], beta=0.1).total
    one_by_one = [alternatives.result("pfd", [float(value), 5e-3], [], beta=0.1).total for value in values]
    assert np.allclose(total, one_by_one)
