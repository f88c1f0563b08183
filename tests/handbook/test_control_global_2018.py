"""Control Global 2018, article "How testing impacts reliability" (W. Mostia); also Lundteigen and Rausand 2008."""

from __future__ import annotations

from scoring.equipment import Rates, Upkeep
from scoring.redundancy.annex_b_edition_1 import pfd
from scoring.voting import SINGLE
from tests.handbook.given import YEAR, printed


def test_partial_test_of_a_single_valve() -> None:
    """Control Global 2018, equation 3, PFD = c l Tp/2 + (1 - c) l Tf/2. Confidence: read.

    The formula was read; the numbers are evaluated from it, not printed: lambda 2e-6/h, c 70 %, Tp 730 h, Tf 8760 h.
    """
    valve = Rates(2.0e-6, 0.0)
    with_partial = Upkeep.proof_test(interval=730.0, coverage=0.7, full_interval=YEAR, mrt=0.0, mttr=0.0)
    without = Upkeep.proof_test(interval=YEAR, coverage=1.0, full_interval=YEAR, mrt=0.0, mttr=0.0)
    assert pfd(voting=SINGLE, rates=valve, upkeep=with_partial).total == printed("0.003139")
    assert pfd(voting=SINGLE, rates=valve, upkeep=without).total == printed("0.00876")
