"""Levels of a zone as table rows."""

from __future__ import annotations

from checks.assessment.results import ZoneResult
from checks.text.number_format import NONE
from scoring.levels import FOUNDATIONAL, NAMES


def level_rows(zone: ZoneResult) -> list[dict[str, str]]:
    """One row per foundational requirement.

    A level without an asked requirement is not shown. A level is called achieved only if every requirement was asked.
    """
    touched = zone.reviewed or any(answer.of == f"zone:{zone.id}" for answer in zone.answers.values())
    rows = []
    for fr in FOUNDATIONAL:
        level, target = zone.levels[fr], zone.target.get(fr)
        whole = level.asked + level.not_asked
        known = touched and level.asked > 0
        shown = str(level.indicated) if known else "nothing asked"
        rows.append(
            {
                "FR": fr,
                "Target": NONE if target is None else str(target),
                "Indicated": f"{shown} achieved" if known and level.not_asked == 0 else shown,
                "Short": NONE if target is None or not known else str(zone.short[fr]),
                "Asked": f"{level.asked} of {whole}" if touched else f"0 of {whole}",
                "Requirement": NAMES[fr],
            }
        )
    return rows
