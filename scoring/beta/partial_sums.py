"""Partial sums: beta is the sum of the points of eight judged factors over a divisor (Humphreys 1987, UPM 1996)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import fsum

from scoring.beta import grades as graded
from scoring.common_cause import PARTS, Part
from scoring.method import About
from scoring.numbers import put_in
from scoring.source import table
from scoring.units import Fraction


@dataclass(frozen=True, slots=True)
class PartialSums:
    """One published table of factors and levels, with the divisor that belongs to it.

    >>> HUMPHREYS.beta(dict.fromkeys(HUMPHREYS.points(), "level-e"))
    0.001
    >>> UPM.beta(dict.fromkeys(UPM.points(), "level-e"))
    0.00102

    Source: the document of each table, see ``about``.
    """

    about: About
    bank: str
    table: str
    parts: tuple[Part, ...] = PARTS

    @property
    def divisor(self) -> float:
        """What the sum of the points is divided by."""
        return float(table(self.table).extra["divisor"])

    @property
    def ends(self) -> tuple[Fraction, Fraction]:
        """The best and the worst beta: every factor at its best and at its worst level."""
        best, worst = (fsum(pick(row.values()) for row in self.points().values()) for pick in (min, max))
        return best / self.divisor, worst / self.divisor

    def points(self) -> Mapping[str, Mapping[str, float]]:
        """Points of each level, worst first, by the id of the question."""
        return graded.levels(self.table)

    def beta(self, grades: Mapping[str, str]) -> Fraction:
        """Beta of a pair, from a level for each factor; raises NotAnswered and OutOfRange."""
        return fsum(graded.scored(self.about.label, self.points(), grades).values()) / self.divisor

    def worked(self, grades: Mapping[str, str]) -> tuple[str, ...]:
        """The sum with the levels of one group put in; raises NotAnswered and OutOfRange."""
        points = graded.scored(self.about.label, self.points(), grades)
        terms = " + ".join(f"{value:g}" for value in points.values())
        beta = put_in(self.beta(grades))
        return (f"beta = ({terms}) / {self.divisor:g} = {fsum(points.values()):g} / {self.divisor:g} = {beta}",)


HUMPHREYS = PartialSums(
    About(
        id="humphreys-1987",
        edition=1,
        label="Partial sums, Humphreys 1987",
        source="R. A. Humphreys, Assigning a numerical value to the beta factor common cause evaluation, Reliability '87",
        confidence="closure",
        valid="hardware of like channels, as judged on eight factors; beta 0.1 to 29.6 %; one beta for detected and undetected",
        formula=("beta = sum of the points of eight factors / 51000",),
    ),
    bank="humphreys",
    table="humphreys_1987",
)
UPM = PartialSums(
    About(
        id="upm-1996",
        edition=1,
        label="Unified partial method, 1996",
        source="V. P. Brand, UPM 3.1, AEA Technology, 1996; the table as in Zitrou and Bedford 2003",
        confidence="memory",
        valid="hardware of like or diverse channels, as judged on eight factors; beta 0.102 to 30.2 %; one beta for all failures",
        formula=("beta = sum of the points of eight factors / 50000",),
    ),
    bank="upm",
    table="upm_1996",
)
