"""Points of the grades of a method, from its table, and the check of the grades given."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from scoring.limits import OutOfRange
from scoring.method import NotAnswered
from scoring.source import table

NOT_MET, MET = "not-met", "met"
"""The two grades of a measure that scores in full or not at all."""


@cache
def levels(name: str) -> Mapping[str, Mapping[str, float]]:
    """Points of each level by question, from a table with one column for each level; null where a row lacks the level."""
    printed = table(name)
    return {
        row["id"]: {
            level: points for level, points in zip(printed.columns, row["values"], strict=True) if points is not None
        }
        for row in printed.rows
    }


@cache
def measures(name: str) -> Mapping[str, Mapping[str, float]]:
    """Points of each measure by question: all or nothing."""
    return {row["id"]: {NOT_MET: 0.0, MET: row["values"][0]} for row in table(name).rows}


def scored(method: str, points: Mapping[str, Mapping[str, float]], grades: Mapping[str, str]) -> dict[str, float]:
    """Points of the grade of every question; grades of other questions are ignored.

    Raises NotAnswered for a missing grade, OutOfRange for one that the method does not print.
    """
    missing = [question for question in points if question not in grades]
    if missing:
        raise NotAnswered(method, missing)
    for question, printed in points.items():
        if grades[question] not in printed:
            raise OutOfRange(f"{method}: {question}", grades[question], f"must be one of {', '.join(printed)}")
    return {question: printed[grades[question]] for question, printed in points.items()}
