"""The gap list of a zone as rows and as a CSV file."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from checks import decisive
from checks.assess import Assessment
from checks.figures import NONE, factor, measure, measure_name
from pages.shared.wording import ANSWERS

_DANGEROUS = ("=", "+", "-", "@", "\t", "\r")


def gap_rows(assessment: Assessment, zone: str) -> list[dict[str, str]]:
    """Gaps of a zone, the one that moves its worst function most first."""
    result = assessment.zone(zone)
    rows = []
    for gap, effect in decisive.gap_effects(assessment, zone):
        now = then = gain = NONE
        if effect is not None:
            now, then = (measure(effect.demand, value) for value in (effect.now, effect.then))
            gain = factor(effect.gain) if effect.gain > 1.0 else "1"
        worst = f"{measure_name(effect.demand)} of {effect.function}" if effect else NONE
        question = assessment.banks.every[gap.question]
        rows.append(
            {
                "Id": gap.question,
                "Answer": ANSWERS[gap.value],  # type: ignore[index]
                "Weight": str(gap.weight) if gap.is_topic else NONE,
                "Function": worst,
                "Now": now,
                "Closed": then,
                "Gain": gain,
                "Reach": f"{len(result.reach)} functions",
                "FR": ", ".join(gap.fr) or NONE,
                "SR": ", ".join(gap.requirements) or NONE,
                "What closes it": gap.action,
                "What is asked": question.text,
            }
        )
    return rows


def guarded(cell: str) -> str:
    """A cell that a spreadsheet shows as text: one that begins like a formula gets an apostrophe in front.

    >>> guarded("=1+1"), guarded("Z01")
    ("'=1+1", 'Z01')
    """
    return f"'{cell}" if cell.lstrip(" ").startswith(_DANGEROUS) else cell


def as_csv(rows: Sequence[dict[str, str]], lead: Sequence[str] = ()) -> bytes:
    """CSV with a byte-order mark, so that spreadsheets read it as UTF-8; ``lead`` are lines above the head."""
    held = io.StringIO()
    writer = csv.writer(held, lineterminator="\r\n")
    writer.writerows([guarded(line)] for line in lead)
    if rows:
        writer.writerow([guarded(name) for name in rows[0]])
        writer.writerows([guarded(cell) for cell in row.values()] for row in rows)
    return held.getvalue().encode("utf-8-sig")
