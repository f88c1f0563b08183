"""Rausand, Reliability of Safety-Critical Systems (2014), chapters 8 and 9: general approximations and exact means.

The approximation is C(N,k) ((1-b) l T)^k / (k+1) + b l T / 2 with k = N - M + 1. Annex B without diagnostics and
repair time has N!/(M-1)! prod lam T/(i+1) = N!/(M-1)! (lam T)^k / (k+1)!, and C(N,k) / (k+1) = N! / ((k+1)! (M-1)!)
since N - k = M - 1: the same for every redundant group, at any beta. With N = M Annex B has N l T / 2, the same only at
beta = 0.
The formulas are recalled; the exact means were evaluated by quadrature of 1 - (1 - F_MooN)(1 - F_shared), without this
package. Left out: 2oo3 with staggered tests, which Annex B cannot express.
"""

from __future__ import annotations

from fractions import Fraction
from math import comb, factorial, prod

import pytest

from scoring.equipment import Rates
from scoring.redundancy.annex_b_edition_1 import pfh
from scoring.voting import MOST_CHANNELS, read
from tests.handbook.given import YEAR, perfect_test, printed, undetected_only

# voting, lambda_DU [1/h], beta, exact mean, approximation, approximation / exact
REDUCING = [
    ("1oo2", 1.0e-6, 0.0, "2.54118e-05", "2.55792e-05", "1.0066"),
    ("1oo2", 1.0e-6, 0.1, "0.000458456", "0.000458719", "1.0006"),
    ("1oo3", 1.0e-6, 0.0, "1.66299e-07", "1.68055e-07", "1.0106"),
    ("1oo3", 1.0e-6, 0.1, "0.000437993", "0.000438123", "1.0003"),
    ("2oo3", 1.0e-6, 0.02, "0.000160498", "0.000161299", "1.0050"),
    ("3oo3", 1.0e-6, 0.0, "0.0130256", "0.01314", "1.0088"),
    ("1oo4", 1.0e-6, 0.02, "8.7596e-05", "8.76011e-05", "1.0001"),
    ("2oo4", 1.0e-6, 0.0, "6.61716e-07", "6.72221e-07", "1.0159"),
    ("2oo4", 1.0e-6, 0.1, "0.000438355", "0.00043849", "1.0003"),
    ("3oo4", 1.0e-6, 0.02, "0.000232779", "0.000234998", "1.0095"),
    ("1oo1", 5.0e-6, 0.0, "0.0215837", "0.0219", "1.0147"),
    ("1oo2", 5.0e-6, 0.02, "0.00103226", "0.00105216", "1.0193"),
    ("2oo2", 5.0e-6, 0.0, "0.0425486", "0.0438", "1.0294"),
    ("1oo3", 5.0e-6, 0.02, "0.000456642", "0.000457772", "1.0025"),
    ("2oo3", 5.0e-6, 0.0, "0.00181682", "0.00191844", "1.0559"),
    ("2oo3", 5.0e-6, 0.1, "0.00366158", "0.00374394", "1.0225"),
    ("1oo4", 5.0e-6, 0.0, "6.84471e-07", "7.36082e-07", "1.0754"),
    ("1oo4", 5.0e-6, 0.1, "0.00218726", "0.00219048", "1.0015"),
    ("2oo4", 5.0e-6, 0.02, "0.000511056", "0.000517086", "1.0118"),
    ("3oo4", 5.0e-6, 0.0, "0.00355594", "0.00383688", "1.0790"),
    ("3oo4", 5.0e-6, 0.1, "0.00507947", "0.00529787", "1.0430"),
]
# Without redundancy Annex B has no shared part and counts every failure N times: above these, and not forced to them.
SERIES_WITH_BETA = [
    ("2oo2", 1.0e-6, 0.02, "0.00862248", "0.0086724"),
    ("3oo3", 1.0e-6, 0.1, "0.0121643", "0.012264"),
    ("2oo2", 5.0e-6, 0.1, "0.0404794", "0.04161"),
    ("3oo3", 5.0e-6, 0.02, "0.0621111", "0.064824"),
]


@pytest.mark.parametrize("n", range(1, MOST_CHANNELS + 1))
def test_annex_b_has_the_factor_of_the_general_approximation(n: int) -> None:
    """Rausand 2014, chapter 8, against IEC 61508-6:2010, Annex B: both factors, exactly. Confidence: derived."""
    for m in range(1, n + 1):
        k = n - m + 1
        annex_b = Fraction(factorial(n), factorial(m - 1)) / prod(i + 1 for i in range(1, k + 1))
        assert annex_b == Fraction(comb(n, k), k + 1)


@pytest.mark.parametrize(("arch", "lambda_du", "beta", "exact", "simplified", "ratio"), REDUCING)
def test_general_approximation_and_its_distance_from_the_exact_mean(
    arch: str, lambda_du: float, beta: float, exact: str, simplified: str, ratio: str
) -> None:
    """Rausand 2014, chapter 8, general approximation and exact mean, one year. Confidence: derived."""
    ours = undetected_only(arch, lambda_du=lambda_du, interval=YEAR, beta=beta).total
    assert ours == printed(simplified)
    assert ours > float(exact)
    assert ours / float(exact) == printed(ratio)


@pytest.mark.parametrize(("arch", "lambda_du", "beta", "exact", "simplified"), SERIES_WITH_BETA)
def test_without_redundancy_the_shared_part_is_counted_in_every_channel(
    arch: str, lambda_du: float, beta: float, exact: str, simplified: str
) -> None:
    """Rausand 2014, chapter 8, against a group with N = M, which has no shared part here. Confidence: derived."""
    ours = undetected_only(arch, lambda_du=lambda_du, interval=YEAR, beta=beta).total
    counted_again = (read(arch).n - 1) * beta * lambda_du * YEAR / 2.0
    assert ours > float(simplified) > float(exact)
    assert ours - counted_again == printed(simplified)


@pytest.mark.parametrize(
    ("arch", "simplified", "exact"),
    [
        ("1oo2", "1.07096e-07", "1.0699e-07"),
        ("1oo3", "1.00056e-07", "1.00011e-07"),
        ("2oo4", "1.00224e-07", "1.00176e-07"),
    ],
)
def test_general_approximation_of_the_failure_frequency(arch: str, simplified: str, exact: str) -> None:
    """Rausand 2014, chapter 9, PFH of undetected failures, lambda 1e-6/h, beta 10 %, one year. Confidence: derived.

    The approximation is C(N,k) ((1-b) l)^k T^(k-1) + b l. Annex B has N!/(M-1)! (1-b) l prod_{i<k} lam T/(i+1) + b l,
    and N!/((M-1)! k!) = C(N,k): the same.
    """
    voting = read(arch)
    ours = pfh(voting=voting, rates=Rates(1.0e-6, 0.0), upkeep=perfect_test(YEAR), beta=0.1).total
    assert ours == printed(simplified)
    # With y = lambda T, the first failure has P >= C(N,k) y^k (1 - k y/2 - k (N-k)/(k+1) y), as in highest_excess.
    k = voting.tolerance + 1
    assert ours * (1.0 - (k / 2 + k * (voting.n - k) / (k + 1)) * 1.0e-6 * YEAR) <= float(exact) < ours
