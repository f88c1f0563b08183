"""IEC 62443-3-3:2013 with COR1:2014: system requirements, enhancements, and the levels at which each is required."""

from __future__ import annotations

from itertools import product

import pytest

from scoring.levels import FOUNDATIONAL, HIGHEST, foundation_of, indicated, required_at
from tests.rule import Rule

REQUIREMENTS = {"IAC": 13, "UC": 12, "SI": 9, "DC": 3, "RDF": 4, "TRE": 2, "RA": 8}


def test_there_are_51_requirements_and_49_enhancements() -> None:
    """IEC 62443-3-3:2013, list of SR and RE. Confidence: read."""
    enhancements = [name for name in required_at() if " RE " in name]
    assert (len(required_at()), len(enhancements)) == (100, 49)


@pytest.mark.parametrize(("level", "count"), [(1, 37), (2, 60), (3, 90), (4, 100)])
def test_number_of_requirements_at_each_level(level: int, count: int) -> None:
    """IEC 62443-3-3:2013, requirements by security level. Confidence: read.

    Two published extracts differ on SR 4.1 RE 2; the count at level 3 is the one without it.
    """
    assert sum(level in levels for levels in required_at().values()) == count
    assert required_at()["SR 4.1 RE 2"] == {4}


@pytest.mark.parametrize("fr", FOUNDATIONAL)
def test_number_of_requirements_of_each_foundation(fr: str) -> None:
    """IEC 62443-3-3:2013, clauses 5 to 11, requirements without enhancements. Confidence: memory."""
    assert sum(own == fr and " RE " not in name for name, own in foundation_of().items()) == REQUIREMENTS[fr]


def test_meeting_what_a_level_asks_reaches_that_level() -> None:
    """IEC 62443-3-3:2013, capability level: every requirement of that level and below is met. Confidence: read."""
    with Rule() as rule:
        for fr, level in product(FOUNDATIONAL, range(HIGHEST + 1)):
            with rule.case(f"{fr}, level {level}"):
                answers = {name: level in levels for name, levels in required_at().items()}
                # Where the next level asks nothing more of this foundation, it is reached as well.
                more = [
                    step
                    for step in range(level + 1, HIGHEST + 1)
                    if any(
                        foundation_of()[name] == fr and step in levels
                        for name, levels in required_at().items()
                        if not answers[name]
                    )
                ]
                assert indicated(answers)[fr].indicated == min(more, default=HIGHEST + 1) - 1
                assert indicated(answers)[fr].indicated >= level
