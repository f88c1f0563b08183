"""Conference paper at "Functional Safety 2016", London, November 2016: Table 4, a pressure protection loop (HIPPS).

Left out: the logic solver row, which disagrees with the totals of the same table (the row is that of a test interval
of one year, the totals need ten; ten is used in the sum below), and the second column with proof-test coverage, which
does not multiply the uncovered part by beta, so that it is another equation; only its single valve is the same.
"""

from __future__ import annotations

import pytest

from scoring.equipment import Rates, Upkeep, in_turn
from scoring.redundancy.annex_b_edition_1 import pfd
from scoring.voting import SINGLE
from tests.handbook.given import YEAR, printed, undetected_only

VALVE = 1.29e-7
ROWS = [
    ("2oo3", 5.7e-8, 0.1, "2.52E-05"),  # pressure transmitters
    ("1oo2", 1.36e-9, 0.1, "5.96E-07"),  # solenoids
    ("1oo1", VALVE, 0.0, "5.65E-04"),  # final element
]


@pytest.mark.parametrize(("arch", "lambda_du", "beta", "expected"), ROWS)
def test_rows_of_the_loop(arch: str, lambda_du: float, beta: float, expected: str) -> None:
    """Functional Safety 2016, London, page 14, Table 4, column PFDavg. Confidence: read."""
    assert undetected_only(arch, lambda_du=lambda_du, interval=YEAR, beta=beta).total == printed(expected)


def test_total_of_the_loop() -> None:
    """Functional Safety 2016, London, page 14, Table 4, totals. Confidence: read."""
    total = sum(undetected_only(arch, lambda_du=du, interval=YEAR, beta=beta).total for arch, du, beta, _ in ROWS)
    total += undetected_only("1oo1", lambda_du=1.51e-10, interval=10.0 * YEAR).total
    assert total == printed("5.97E-04")
    assert 1.0 / total == printed("1674")


def test_proof_test_coverage_of_the_single_valve() -> None:
    """Functional Safety 2016, London, page 14, Table 4, valve with coverage 95 %, 20 years. Confidence: read."""
    overhauled = Upkeep.proof_test(interval=YEAR, coverage=0.95, full_interval=20.0 * YEAR, mrt=0.0, mttr=0.0)
    replaced = Upkeep(in_turn([(YEAR, 0.95)], 20.0 * YEAR), 0.0, 0.0)
    for care in (overhauled, replaced):
        assert pfd(voting=SINGLE, rates=Rates(VALVE, 0.0), upkeep=care).total == printed("1.10E-03")
