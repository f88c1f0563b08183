"""Manufacturer's data sheet of a family of safety pressure and temperature switches (from an FMEDA), one-page table."""

from __future__ import annotations

import pytest

from scoring.units import per_hour
from tests.handbook.given import YEAR, printed, undetected_only


@pytest.mark.parametrize(
    ("lambda_du_fit", "ten_years", "one_year", "three_months"),
    [
        (84, "3.67920E-03", "3.67920E-04", "9.19800E-05"),
        (69, "3.02220E-03", "3.02220E-04", "7.55550E-05"),
        (80, "3.50400E-03", "3.50400E-04", "8.76000E-05"),
        (75, "3.28500E-03", "3.28500E-04", "8.21250E-05"),
    ],
    ids=["pressure 2W2D00", "pressure 2W3A00", "temperature 2W2D00", "pressure 2WLP4x"],
)
def test_single_switch_at_three_test_intervals(
    lambda_du_fit: float, ten_years: str, one_year: str, three_months: str
) -> None:
    """Data sheet of safety switches 2W..., table of PFDavg by test interval, 8760 h a year. Confidence: read."""
    for years, expected in ((10.0, ten_years), (1.0, one_year), (0.25, three_months)):
        found = undetected_only("1oo1", lambda_du=per_hour(lambda_du_fit), interval=years * YEAR)
        assert found.total == printed(expected)
