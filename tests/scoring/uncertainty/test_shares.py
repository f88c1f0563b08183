"""First-order shares against functions whose Sobol indices are known in closed form."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scoring.limits import OutOfRange
from scoring.uncertainty import points, shares
from scoring.uncertainty.distributions import Lognormal

WITHIN_A_SLICE = 0.013
"""What a normal input loses within 32 slices of equal probability, as a part of its share: 1.3 % of the variance of a normal
quantity lies within 32 equally probable slices (derived: 1 minus the variance of the slice means of its density)."""


def test_the_ishigami_function_has_its_published_indices() -> None:
    """S = 0.3139, 0.4424 and 0 for sin x1 + 7 sin^2 x2 + 0.1 x3^4 sin x1 with x uniform over (-pi, pi).

    Ishigami and Homma 1990; closed form in Saltelli et al., Global Sensitivity Analysis: The Primer, 2008 (from memory, and worked
    out here).
    """
    a, b = 7.0, 0.1
    first = 0.5 * (1.0 + b * np.pi**4 / 5.0) ** 2
    whole = a**2 / 8.0 + b * np.pi**4 / 5.0 + b**2 * np.pi**8 / 18.0 + 0.5
    known = [first / whole, a**2 / 8.0 / whole, 0.0]
    assert known == pytest.approx([0.3139, 0.4424, 0.0], abs=5e-5)
    drawn = points.sobol(3, power=13, seed=1)
    x = np.pi * (2.0 * drawn - 1.0)
    found = shares.first_order(np.sin(x[0]) + a * np.sin(x[1]) ** 2 + b * x[2] ** 4 * np.sin(x[0]), drawn)
    # sin^2 turns four times, so 32 slices hide the part (pi/8)^2/3 = 1.3 % of its variance within them.
    assert found == pytest.approx(known, abs=0.44 * 0.013 + 1e-3)


@given(weights=st.lists(st.floats(0.1, 10.0), min_size=1, max_size=6), seed=st.integers(0, 1000))
@settings(max_examples=25, deadline=None)
def test_a_product_of_lognormal_inputs_has_the_shares_of_their_log_variances(weights: list[float], seed: int) -> None:
    """Ln of the product is a sum of normal quantities, S_i = sigma_i^2 / sum (closed form)."""
    drawn = points.sobol(len(weights), power=13, seed=seed)
    inputs = [Lognormal(1.0, np.exp(0.3 * weight)) for weight in weights]
    logs = sum(np.log(found.at(at)) for found, at in zip(inputs, drawn, strict=True))
    variances = np.array([found.sigma**2 for found in inputs])
    expected = variances / variances.sum()
    found = shares.first_order(np.asarray(logs), drawn)
    assert np.all(np.abs(found - expected) <= WITHIN_A_SLICE * expected + 2e-3)


def test_random_points_give_the_same_shares_but_for_the_noise_of_the_slices() -> None:
    """At random points the scatter of K slice means adds about K/n to each share; plain numpy draws as another voice."""
    generator = np.random.default_rng(5)
    drawn = generator.random((3, 2**15))
    result = 3.0 * drawn[0] + drawn[1]
    cut = shares.slices(2**15)
    expected = np.array([0.9, 0.1, 0.0]) * (1.0 - 1.0 / cut**2) + cut / 2**15 * np.array([0.1, 0.9, 1.0])
    error = 4.0 * np.sqrt(2.0 * cut) / 2**15 + 4.0 * np.sqrt(0.9 * 0.1 / 2**15) * np.array([0.32, 0.32, 0.0])
    assert np.all(np.abs(shares.first_order(result, drawn) - expected) <= error + 1e-4)


def test_a_result_that_does_not_vary_rests_on_nothing() -> None:
    drawn = points.sobol(2, power=6, seed=1)
    assert shares.first_order(np.full(64, -7.3), drawn).tolist() == [0.0, 0.0]


def test_points_outside_0_to_1_are_refused() -> None:
    with pytest.raises(OutOfRange):
        shares.first_order(np.arange(64.0), np.linspace(0.5, 1.5, 64)[None, :])
