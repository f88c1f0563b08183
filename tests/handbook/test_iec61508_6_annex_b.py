"""IEC 61508-6:2010 Annex B: printed PFDavg and PFH of tables and worked examples.

All values are recalled, not seen in print; the inputs of the high-demand example were inferred from its results.
The example of the 2000 edition counts beta_D lambda_DD in PFH as well; that form is not in the project, so that its
values (clause B.3.4 there) are left out.
"""

from __future__ import annotations

import pytest

from scoring.equipment import Rates, Upkeep
from scoring.redundancy.annex_b_edition_1 import pfd, pfh
from scoring.voting import read
from tests.handbook.given import YEAR, printed


def channel(lambda_d: float, coverage: float) -> Rates:
    return Rates(du=(1.0 - coverage) * lambda_d, dd=coverage * lambda_d)


def upkeep(interval: float, *, proof_coverage: float = 1.0, full_interval: float | None = None) -> Upkeep:
    return Upkeep.proof_test(
        interval=interval, coverage=proof_coverage, full_interval=full_interval or interval, mrt=8.0, mttr=8.0
    )


@pytest.mark.parametrize(
    ("coverage", "proof_coverage", "expected"),
    [(0.0, 1.0, "2.7E-03"), (0.0, 0.9, "6.0E-03"), (0.9, 1.0, "2.3E-04"), (0.9, 0.9, "4.4E-04")],
)
def test_imperfect_proof_test_of_a_pair(coverage: float, proof_coverage: float, expected: str) -> None:
    """IEC 61508-6:2010, Annex B, B.3.2.5, Table B.9 (T1 one year, T2 ten years). Confidence: memory."""
    found = pfd(
        voting=read("1oo2"),
        rates=channel(5.0e-6, coverage),
        upkeep=upkeep(YEAR, proof_coverage=proof_coverage, full_interval=10.0 * YEAR),
        beta=0.1,
        beta_d=0.05,
    )
    assert found.total == printed(expected)


def test_low_demand_example_sensors() -> None:
    """IEC 61508-6:2010, Annex B, B.3.2.4, three sensors 2oo3. Confidence: memory."""
    found = pfd(voting=read("2oo3"), rates=channel(2.5e-6, 0.9), upkeep=upkeep(YEAR), beta=0.2, beta_d=0.1)
    assert found.total == printed("2.3E-04")


def test_low_demand_example_shutdown_valve() -> None:
    """IEC 61508-6:2010, Annex B, B.3.2.4, final element 1oo1. Confidence: memory."""
    found = pfd(voting=read("1oo1"), rates=channel(2.5e-6, 0.6), upkeep=upkeep(YEAR))
    assert found.total == printed("4.4E-03")


def test_high_demand_example_and_its_sum() -> None:
    """IEC 61508-6:2010, Annex B, B.3.3.4, before the change of sensors. Confidence: memory.

    Weak: that sensor and contactor have no diagnostics was inferred so that the recalled results come out.
    """
    half_year = upkeep(YEAR / 2.0)
    sensors = pfh(voting=read("1oo2"), rates=channel(2.5e-6, 0.0), upkeep=half_year, beta=0.2, beta_d=0.1).total
    logic = pfh(voting=read("2oo3"), rates=channel(5.0e-6, 0.99), upkeep=half_year, beta=0.02, beta_d=0.01).total
    contactor = pfh(voting=read("1oo1"), rates=channel(0.5e-6, 0.0), upkeep=half_year).total
    assert sensors == printed("5.2E-07")
    assert logic == printed("1.0E-09")
    assert contactor == printed("5.0E-07")
    assert sensors + logic + contactor == printed("1.0E-06")
