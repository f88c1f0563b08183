"""Manufacturer's safety data of a safety input module (5034-IB8S): PFH and PFDavg over a mission of 20 years.

A channel count in the data sheet is inside the module: its lambda_DU stands for the module, which is one channel here.
"""

from __future__ import annotations

import pytest

from scoring.equipment import Rates
from scoring.redundancy.annex_b_edition_1 import pfh
from scoring.voting import SINGLE
from tests.handbook.given import YEAR, perfect_test, printed, undetected_only


@pytest.mark.parametrize(
    ("lambda_du", "frequency", "probability"),
    [(1.28515e-10, "1.285E-10", "1.126E-05"), (1.23271e-10, "1.233E-10", "1.080E-05")],
    ids=["single channel", "dual channel"],
)
def test_module_over_twenty_years(lambda_du: float, frequency: str, probability: str) -> None:
    """Safety data of input module 5034-IB8S, single and dual channel use. Confidence: read."""
    mission = 20.0 * YEAR
    assert pfh(voting=SINGLE, rates=Rates(lambda_du, 0.0), upkeep=perfect_test(mission)).total == printed(frequency)
    assert undetected_only("1oo1", lambda_du=lambda_du, interval=mission).total == printed(probability)
