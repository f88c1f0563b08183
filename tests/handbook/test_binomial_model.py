"""The equation against its model: independent failures at (1 - beta) lambda, shared ones at beta lambda.

No document: the mean of the binomial model over one test interval, integrated here with numpy and without scoring/.
"""

from __future__ import annotations

from itertools import product
from math import comb

import numpy as np

from scoring.voting import MOST_CHANNELS, Voting
from tests.handbook.given import YEAR, highest_excess, undetected_only
from tests.rule import Rule

VOTINGS = [Voting(m, n) for n in range(1, MOST_CHANNELS + 1) for m in range(1, n + 1)]
# A group without redundancy has no shared part, so that it is compared at beta = 0 only.
CASES = [(one, beta) for one in VOTINGS for beta in ((0.0, 0.02, 0.1, 1.0) if one.redundant else (0.0,))]
NODES, WEIGHTS = np.polynomial.legendre.leggauss(24)  # integrates powers of t up to 47 without error


def exact_mean(voting: Voting, *, lambda_t: float, beta: float) -> float:
    """Mean over 0..T of U + q - U q, the union of too many single failures U and a shared failure q."""
    time = (NODES + 1.0) / 2.0
    one = -np.expm1(-(1.0 - beta) * lambda_t * time)
    shared = -np.expm1(-beta * lambda_t * time)
    most = range(voting.tolerance + 1, voting.n + 1)
    failed = sum(comb(voting.n, j) * one**j * (1.0 - one) ** (voting.n - j) for j in most)
    return float(np.sum(WEIGHTS / 2.0 * (failed + shared - failed * shared)))


def test_equation_lies_above_the_model_by_no_more_than_the_neglected_order() -> None:
    """Binomial model with beta factor, T one year, perfect test, no repair time. Confidence: derived.

    Tolerance: relative, lambda T times the factor that ``highest_excess`` derives, since the equation keeps the
    leading order and leaves out the next: 1/3 for 1oo1, 3/4 for 1oo2, 5/4 for 2oo3, up to 13/3 for 5oo8. A flat
    lambda T would be too wide for a pair, and too narrow from 2oo3 on where beta is small.
    """
    with Rule() as rule:
        for (voting, beta), lambda_t in product(CASES, (1.0e-4, 1.0e-3, 1.0e-2)):
            with rule.case(f"{voting}, beta {beta}, lambda T {lambda_t}"):
                ours = undetected_only(str(voting), lambda_du=lambda_t / YEAR, interval=YEAR, beta=beta).total
                model = exact_mean(voting, lambda_t=lambda_t, beta=beta)
                assert model <= ours
                assert (ours - model) / ours <= highest_excess(voting) * lambda_t
