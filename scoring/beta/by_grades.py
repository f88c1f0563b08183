"""A method with questions of its own as the one that carries the beta of a group.

The published methods say nothing about an open question, three of them nothing about beta_D, and one gives no value below its
pass mark. What takes their place are house rules, on the safe side.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from scoring.common_cause import Part, Row
from scoring.method import About, AskedBeta, BetaMethod, Claims, Estimate
from scoring.numbers import put_in
from scoring.units import Fraction

BETA_D = "beta_D = beta: the method gives one beta for detected and undetected failures (house rule)"
OPEN = "an open question counts at its worst grade (house rule)"
NO_VALUE = "where the method gives no value, beta is the larger of its worst beta and the worst beta of the plant's method (house rule)"


@dataclass(frozen=True, slots=True)
class ByGrades:
    """``asked`` gives beta from the grades of the claims; ``other`` is the method of the plant, for scores without a value.

    >>> from scoring.beta.iec61508_6_2010 import AnnexD
    >>> from scoring.beta.machinery import Iso13849
    >>> checklist = ByGrades(Iso13849(), AnnexD())
    >>> met = dict.fromkeys(Iso13849().points(), "met")
    >>> checklist.estimate(Claims("sensor", (), 0.0, None, met)).beta, checklist.estimate(Claims("sensor", (), 0.0, None)).beta
    (0.02, 0.1)

    Source: the document of ``asked``; the house rules of this module.
    """

    asked: AskedBeta
    other: BetaMethod

    @property
    def about(self) -> About:
        """Description of the method that asks."""
        return self.asked.about

    @property
    def house_rules(self) -> tuple[str, ...]:
        """What the program adds to the published method."""
        gives_none = self.asked.beta(self.completed({})) is None
        return (OPEN, BETA_D, *((NO_VALUE,) if gives_none else ()))

    @property
    def points_source(self) -> str:
        """Empty: there are no points X and Y."""
        return ""

    def rows(self, part: Part) -> Mapping[str, Row]:  # noqa: ARG002  (the interface has it)
        """No rows: the questions are those of ``asked``."""
        return {}

    def counted(self, claims: Claims) -> frozenset[str]:  # noqa: ARG002
        """None: there are no rows."""
        return frozenset()

    def completed(self, grades: Mapping[str, str]) -> dict[str, str]:
        """A grade for every question: the worst one where none is given."""
        return {name: grades.get(name, next(iter(printed))) for name, printed in self.asked.points().items()}

    def estimate(self, claims: Claims) -> Estimate:
        """Beta of a pair from the grades, and the same as beta_D; raises OutOfRange for a grade that is not printed."""
        found = self.asked.beta(self.completed(claims.grades))
        beta = self._without_value(claims.part) if found is None else found
        return Estimate(beta, beta, None)

    def _without_value(self, part: Part) -> Fraction:
        return max(*self.asked.ends, self.other.worst(part))

    def worst(self, part: Part) -> Fraction:
        """Beta where every question has its worst grade."""
        return self.estimate(Claims(part, (), 0.0, None)).beta

    def bands(self, part: Part) -> tuple[tuple[float, Fraction], ...]:  # noqa: ARG002
        """None: there is no score S."""
        return ()

    def missing(self, part: Part, points: float) -> float | None:  # noqa: ARG002
        """None: there is no score S."""
        return None

    def thin(self, part: Part, claimed: Iterable[str]) -> tuple[str, ...]:  # noqa: ARG002
        """None: there are no categories of rows."""
        return ()

    def worked(self, claims: Claims) -> tuple[str, ...]:
        """The equation of ``asked`` with the grades put in, and what the house rules add."""
        open_ones = [name for name in self.asked.points() if name not in claims.grades]
        beta, grades = put_in(self.estimate(claims).beta), self.completed(claims.grades)
        lines = list(self.asked.worked(grades))
        if open_ones:
            lines.append(f"open, at the worst grade (house rule): {', '.join(open_ones)}")
        if self.asked.beta(grades) is None:
            lines.append(
                f"no value: beta_int = {beta}, the larger of {put_in(max(self.asked.ends))} and "
                f"{put_in(self.other.worst(claims.part))} of {self.other.about.label} (house rule)"
            )
        return (*lines, f"beta_D,int = beta_int = {beta} (house rule)")


def asked_by(method: BetaMethod) -> AskedBeta | None:
    """The method with questions of its own behind a beta method; None for a questionnaire with points."""
    return method.asked if isinstance(method, ByGrades) else None
