"""SINTEF PDS method handbook, 2013 generation: configuration factors C_MooN."""

from __future__ import annotations

import pytest

from scoring.methods.registry import MOON_FACTORS
from scoring.source import table
from scoring.voting import read

# The 2010 generation prints other values from N = 4 on (2.9, 0.7, 1.8 ...); which printing holds which set was not
# verified, so that these are the weakest numbers among the tables.
C_MOON = {
    "1oo2": 1.0,
    "1oo3": 0.5,
    "2oo3": 2.0,
    "1oo4": 0.3,
    "2oo4": 1.1,
    "3oo4": 2.8,
    "1oo5": 0.2,
    "2oo5": 0.8,
    "3oo5": 1.6,
    "4oo5": 3.6,
    "1oo6": 0.15,
    "2oo6": 0.6,
    "3oo6": 1.2,
    "4oo6": 1.9,
    "5oo6": 4.5,
}


@pytest.mark.parametrize("arch", C_MOON)
def test_configuration_factors_are_those_printed(arch: str) -> None:
    """SINTEF PDS method handbook, 2013, configuration factors C_MooN. Confidence: memory."""
    assert MOON_FACTORS.get("pds-2013", 1).factor(read(arch)) == C_MOON[arch]


def test_no_other_voting_has_a_factor() -> None:
    """SINTEF PDS method handbook, 2013, configuration factors C_MooN, up to six channels. Confidence: memory."""
    assert {row["voting"] for row in table("pds_2013_c_moon").rows} == set(C_MOON)
