"""Published betas by class of equipment, and published ranges."""

from __future__ import annotations

from statistics import fmean

import pytest

from scoring.beta.published import FIELD, PDS, ranges, typical
from scoring.source import table


def test_generic_betas_of_nuclear_components_agree_with_the_published_range_of_component_types() -> None:
    """NUREG/CR-4780 against the range that AIAA 2012 gives for IAEA: 0.03 to 0.22, mean 0.10. Confidence: cross-checked."""
    betas = [row["values"][0] for row in table("nureg_cr_4780_beta").rows]
    iaea = next(each for each in ranges() if each.survey.startswith("IAEA"))
    assert (min(betas), max(betas)) == (iaea.low, iaea.high) == (0.03, 0.22)
    assert fmean(betas) == pytest.approx(0.10, abs=0.005)


def test_field_betas_are_two_to_four_times_the_typical_ones_of_the_same_equipment() -> None:
    """SINTEF A26922 (2015) against the earlier typical values, ratio about 2 to 4. Confidence: memory."""
    typical_of = {row["equipment"]: row["values"][0] for row in table("pds_2013_beta").rows}
    ratios = [row["values"][0] / typical_of[row["equipment"]] for row in table("sintef_a26922_2015_beta").rows]
    assert min(ratios) + 0.01 >= 2.0
    assert max(ratios) <= 4.0 + 1e-12


def test_values_by_equipment() -> None:
    """SINTEF PDS data handbook 2013 and SINTEF A26922. Confidence: memory."""
    assert {each.equipment: each.beta for each in PDS.of_part("sensor")} == {
        "process transmitter": 0.06,
        "gas detector": 0.07,
        "fire detector": 0.07,
    }
    assert {each.equipment: each.beta for each in FIELD.of_part("sensor")} == {
        "process transmitter": 0.15,
        "gas detector": 0.15,
        "fire detector": 0.15,
    }
    assert FIELD.of_part("logic") == ()


def test_published_ranges() -> None:
    """H. W. Jones, AIAA 2012, ranges as collated there. Confidence: read."""
    assert [(each.low, each.high) for each in ranges()] == [
        (0.01, 0.3),
        (0.03, 0.22),
        (0.01, 0.2),
        (0.001, 0.05),
        (0.001, 0.1),
    ]
    assert (typical().low, typical().high) == (0.01, 0.1)
