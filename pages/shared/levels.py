"""Levels of a zone as table rows."""

from __future__ import annotations

from checks.figures import NONE
from checks.results import ZoneResult
from scoring.levels import FOUNDATIONAL, NAMES


def level_rows(zone: ZoneResult) -> list[dict[str, str]]:
    """One row a foundational requirement. A level that rests on no question is withheld; only with every
    requirement asked is a level called achieved.
    """  # noqa: D205
    rows = []
    for fr in FOUNDATIONAL:
        level, target = zone.levels[fr], zone.target.get(fr)
        whole = level.asked + level.not_asked
        shown = "nothing asked" if level.asked == 0 else str(level.indicated)
        rows.append(
            {
                "Requirement": f"{fr} {NAMES[fr]}",
                "Target": NONE if target is None else str(target),
                "Indicated": f"{shown} achieved" if level.not_asked == 0 else shown,
                "Short": NONE if target is None or level.asked == 0 else str(zone.short[fr]),
                "Asked": f"{level.asked} of {whole}",
            }
        )
    return rows
