"""Security levels per foundational requirement (IEC 62443-3-3:2013)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from scoring.source import table

FOUNDATIONAL = ("IAC", "UC", "SI", "DC", "RDF", "TRE", "RA")
"""The seven foundational requirements in the order of the standard."""

NAMES = {
    "IAC": "Identification and authentication",
    "UC": "Use control",
    "SI": "System integrity",
    "DC": "Data confidentiality",
    "RDF": "Restricted data flow",
    "TRE": "Timely response to events",
    "RA": "Resource availability",
}
HIGHEST = 4


@dataclass(frozen=True, slots=True)
class Level:
    """Indicated level of one foundational requirement, with the number of its requirements asked and not asked.

    ``indicated`` is the largest s in 0..4 such that every asked requirement needed at s is met.
    It is never an achieved level while ``not_asked`` is above 0; with ``asked`` = 0 nothing supports it.
    """

    indicated: int
    asked: int
    not_asked: int


@cache
def required_at() -> dict[str, frozenset[int]]:
    """Levels at which each of the 100 requirements is required, by id.

    Source: IEC 62443-3-3:2013 with COR1:2014 (extracts read; SR 4.1 RE 2 disputed).
    """
    return {
        row["id"]: frozenset(level for level, needed in enumerate(row["values"], start=1) if needed)
        for row in table("iec62443_3_3_2013_levels").rows
    }


@cache
def foundation_of() -> dict[str, str]:
    """Foundational requirement of each of the 100 requirements, by id."""
    return {row["id"]: row["fr"] for row in table("iec62443_3_3_2013_levels").rows}


def indicated(asked: Mapping[str, bool]) -> dict[str, Level]:
    """Level of each foundational requirement from the requirements that were asked (id -> met).

    >>> indicated({"SR 7.8": False})["RA"]
    Level(indicated=1, asked=1, not_asked=12)
    """
    return {fr: _level(fr, asked) for fr in FOUNDATIONAL}


def _level(fr: str, asked: Mapping[str, bool]) -> Level:
    needed = required_at()
    ids = [name for name, foundation in foundation_of().items() if foundation == fr]
    unmet = [name for name in ids if asked.get(name) is False]
    level = max(s for s in range(HIGHEST + 1) if not any(s in needed[name] for name in unmet))
    count = sum(name in asked for name in ids)
    return Level(level, count, len(ids) - count)
