"""Answers as the grades of a method with questions of its own: as they are, at their best, and without what lacks evidence."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from scoring.beta.grades import MET, NOT_MET
from scoring.method import AskedBeta

Grades = dict[str, str]


class Given(Protocol):
    """An answer with its evidence."""

    @property
    def value(self) -> str:
        """The value."""
        ...

    @property
    def evidence(self) -> str:
        """The evidence; may be empty."""
        ...


def answered(method: AskedBeta, answers: Mapping[str, Given]) -> dict[str, Given]:
    """Answers to the questions of a method, without those answered Not known."""
    return {name: answers[name] for name in method.points() if name in answers and answers[name].value != "unknown"}


def grade(printed: Mapping[str, float], value: str) -> str:
    """The grade of an answer: its level, or met and not-met. A measure met in part scores nothing."""
    if value in printed:
        return value
    return MET if value == "equivalent" else NOT_MET


def present(method: AskedBeta, answers: Mapping[str, Given]) -> Grades:
    """The grade of each answered question."""
    points = method.points()
    return {name: grade(points[name], each.value) for name, each in answered(method, answers).items()}


def best(method: AskedBeta, answers: Mapping[str, Given]) -> Grades:
    """The grades with open questions at their best grade, and partly met measures met."""
    given = answered(method, answers)
    return {
        name: grade(printed, given[name].value)
        if name in given and given[name].value != "partly"
        else list(printed)[-1]
        for name, printed in method.points().items()
    }


def evidenced(method: AskedBeta, answers: Mapping[str, Given]) -> Grades:
    """The grades of the answers with evidence."""
    return present(method, {name: each for name, each in answers.items() if each.evidence.strip()})


THREE = (present, best, evidenced)
"""Grades as the answers are, at their best, and with evidence."""
