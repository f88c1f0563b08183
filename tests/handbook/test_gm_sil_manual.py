"""GM International, SIL Manual (handbook): formulas of Table 8, the limit of redundancy, a diverse pair.

Its formulas weight the independent part by (1 - beta) where Annex B has (1 - beta)^k, k = N - M + 1: a second
convention, slightly conservative. Left out: 2oo2, to which the handbook gives a common-cause part; a group without
redundancy has none here.
"""

from __future__ import annotations

import pytest

from scoring.equipment import Rates, Split, mean_rates
from scoring.redundancy.annex_b_edition_1 import pfd
from scoring.voting import read
from tests.handbook.given import YEAR, perfect_test, printed, undetected_only


def at_one_percent_a_year(arch: str) -> Split:
    return undetected_only(arch, lambda_du=0.01 / YEAR, interval=YEAR, beta=0.05)


@pytest.mark.parametrize(
    ("arch", "expected"), [("1oo2", "2.816667E-04"), ("1oo3", "2.502375E-04"), ("2oo3", "3.450000E-04")]
)
def test_formulas_agree_once_the_weight_of_the_independent_part_is_theirs(arch: str, expected: str) -> None:
    """GM International, SIL Manual, section 5.4.2, Table 8, p. 103-104, formulas. Confidence: read.

    The formulas were read; the numbers are evaluated from them, not printed.
    """
    ours = at_one_percent_a_year(arch)
    k = read(arch).tolerance + 1
    assert ours.independent / 0.95 ** (k - 1) + ours.shared == printed(expected)
    assert ours.total < float(expected)


@pytest.mark.parametrize(("beta", "most"), [(0.02, "50"), (0.05, "20")])
@pytest.mark.parametrize("arch", ["1oo2", "1oo3"])
def test_redundancy_gains_at_most_one_over_beta(arch: str, beta: float, most: str) -> None:
    """GM International, SIL Manual, section 5.4.2 and p. 111, gain limited by common cause. Confidence: read."""
    for lambda_t in (1.0e-1, 1.0e-2, 1.0e-3, 1.0e-4):
        group = undetected_only(arch, lambda_du=lambda_t / YEAR, interval=YEAR, beta=beta)
        one = undetected_only("1oo1", lambda_du=lambda_t / YEAR, interval=YEAR)
        assert one.total / group.total < float(most)
    # The limit is reached, to the printed digits, where lambda T (here 1e-4) is small against beta.
    assert one.total / group.total == printed(most)


def test_pair_of_diverse_legs_reaches_the_stated_level() -> None:
    """GM International, SIL Manual, 5th edition, section 5.5.2, p. 125, example 1. Confidence: read.

    Inputs and SIL 3 (1e-4 to 1e-3) were read; the PFDavg is a picture that was not. Unlike legs are l1 l2 T^2 / 3
    there, which for a pair is what the geometric mean of the rates gives.
    """
    legs = mean_rates([Rates(0.058 / YEAR, 0.0), Rates(0.045 / YEAR, 0.0)])
    found = pfd(voting=read("1oo2"), rates=legs, upkeep=perfect_test(YEAR)).total
    assert 1.0e-4 <= found < 1.0e-3
    assert found == pytest.approx(0.058 * 0.045 / 3.0, rel=1e-12)
