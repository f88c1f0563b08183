"""Checklists of machinery against common cause: IEC 62061 Annex F and ISO 13849-1 Annex F."""

from __future__ import annotations

import pytest

from scoring.beta.machinery import Iec62061, Iso13849
from scoring.source import table


def test_the_rows_of_each_group_of_iec_62061_add_to_its_printed_sum() -> None:
    """IEC 62061:2005 Table F.1; 25 points for separation were read in a maker's handbook. Confidence: closure."""
    sums: dict[str, float] = {}
    for row in table("iec62061_2005_f1").rows:
        sums[row["group"]] = sums.get(row["group"], 0.0) + row["values"][0]
    assert sums == {
        "separation": 25,
        "diversity": 38,
        "design": 2,
        "assessment": 18,
        "competence": 4,
        "environment": 18,
    }


def _scoring(points: int) -> dict[str, str]:
    """Answers to the measures of IEC 62061 that score exactly these points."""
    rows = {question: row["met"] for question, row in Iec62061().points().items()}
    reached: dict[int, tuple[str, ...]] = {0: ()}
    for question, value in rows.items():
        reached |= {
            total + int(value): (*met, question) for total, met in list(reached.items()) if total + value <= 105
        }
    return dict.fromkeys(rows, "not-met") | dict.fromkeys(reached[points], "met")


@pytest.mark.parametrize(
    ("points", "beta"), [(33, 0.1), (35, 0.05), (64, 0.05), (65, 0.02), (84, 0.02), (85, 0.01), (105, 0.01)]
)
def test_beta_of_iec_62061_by_score(points: int, beta: float) -> None:
    """IEC 62061:2005 Table F.2: below 35, from 35, from 65, from 85. Confidence: memory."""
    checklist = Iec62061()
    grades = _scoring(points)
    assert checklist.score(grades) == points
    assert checklist.beta(grades) == beta


def test_the_points_of_iso_13849_add_to_a_hundred() -> None:
    """ISO 13849-1 Table F.1. Confidence: closure."""
    assert sum(row["met"] for row in Iso13849().points().values()) == 100


@pytest.mark.parametrize(("left_out", "beta"), [((2, 3), 0.02), ((1, 3, 5), 0.02), ((7, 8), 0.02), ((7, 8, 4), None)])
def test_iso_13849_assumes_two_per_cent_from_65_points_on(left_out: tuple[int, ...], beta: float | None) -> None:
    """ISO 13849-1 Annex F: 65 points at least, beta 2 %. Confidence: read (leaving out 35 points passes, 40 does not)."""
    checklist = Iso13849()
    grades = dict.fromkeys(checklist.points(), "met") | {f"MB{at}": "not-met" for at in left_out}
    assert checklist.beta(grades) == beta
