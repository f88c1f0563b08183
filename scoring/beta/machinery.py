"""Checklists of machinery: measures that score in full or not at all (IEC 62061 Annex F, ISO 13849-1 Annex F)."""

from __future__ import annotations

from collections.abc import Mapping
from math import fsum
from typing import ClassVar

from scoring.beta import grades as graded
from scoring.common_cause import PARTS, Part
from scoring.method import About
from scoring.numbers import put_in
from scoring.source import table
from scoring.units import Fraction


class Iec62061:
    """IEC 62061:2005 Annex F: the sum of the points gives one of four betas.

    >>> checklist = Iec62061()
    >>> checklist.beta(dict.fromkeys(checklist.points(), "met")), checklist.beta(dict.fromkeys(checklist.points(), "not-met"))
    (0.01, 0.1)

    Source: IEC 62061:2005, Annex F, Tables F.1 (closure) and F.2 (from memory).
    """

    about: ClassVar[About] = About(
        id="iec62061-2005",
        edition=1,
        label="Machinery checklist, IEC 62061",
        source="IEC 62061:2005, Annex F, Tables F.1 and F.2 (2021 edition: Annex E)",
        confidence="memory",
        valid="electrical control systems of machinery; beta 1 to 10 %; a measure met in part scores nothing",
        formula=("score = sum of the points of the measures met (105 at most)", "beta = Table F.2 at the score"),
    )
    bank: ClassVar[str] = "iec62061"
    parts: ClassVar[tuple[Part, ...]] = PARTS
    points_table: ClassVar[str] = "iec62061_2005_f1"
    bands: ClassVar[str] = "iec62061_2005_f2"

    @property
    def ends(self) -> tuple[Fraction, Fraction]:
        """The best and the worst beta of Table F.2."""
        betas = [row["values"][0] for row in table(self.bands).rows]
        return min(betas), max(betas)

    def points(self) -> Mapping[str, Mapping[str, float]]:
        """Points of each measure by the id of the question: all or nothing."""
        return graded.measures(self.points_table)

    def score(self, grades: Mapping[str, str]) -> float:
        """Sum of the points of the measures met; raises NotAnswered and OutOfRange."""
        return fsum(graded.scored(self.about.label, self.points(), grades).values())

    def beta(self, grades: Mapping[str, str]) -> Fraction:
        """Beta of a pair; raises NotAnswered and OutOfRange."""
        score = self.score(grades)
        return float(next(row["values"][0] for row in table(self.bands).rows if score >= row["score_from"]))

    def worked(self, grades: Mapping[str, str]) -> tuple[str, ...]:
        """Score and beta with the answers of one group put in; raises NotAnswered and OutOfRange."""
        return (f"score = {self.score(grades):g}, {table(self.bands).place}: beta = {put_in(self.beta(grades))}",)


class Iso13849:
    """ISO 13849-1 Annex F: from 65 of 100 points on a beta of 2 % is assumed; below it the standard gives none.

    >>> checklist = Iso13849()
    >>> checklist.beta(dict.fromkeys(checklist.points(), "met")), checklist.beta(dict.fromkeys(checklist.points(), "not-met"))
    (0.02, None)

    Source: ISO 13849-1, Annex F, Table F.1 (closure); 65 points and 2 % read.
    """

    about: ClassVar[About] = About(
        id="iso13849-1",
        edition=1,
        label="Machinery checklist, ISO 13849-1",
        source="ISO 13849-1:2015, Annex F, Table F.1 (the same points in 2006 and 2023)",
        confidence="closure",
        valid="control systems of machinery in categories 2, 3 and 4; 2 % from 65 points on, no value below",
        formula=(
            "score = sum of the points of the measures met (100 at most)",
            "beta = 2 % where the score is 65 or more",
        ),
    )
    bank: ClassVar[str] = "iso13849"
    parts: ClassVar[tuple[Part, ...]] = PARTS
    points_table: ClassVar[str] = "iso13849_1_f1"

    @property
    def ends(self) -> tuple[Fraction, Fraction]:
        """The only beta that the simplified procedure assumes, twice."""
        beta = float(table(self.points_table).extra["beta"])
        return beta, beta

    def points(self) -> Mapping[str, Mapping[str, float]]:
        """Points of each measure by the id of the question: all or nothing."""
        return graded.measures(self.points_table)

    def score(self, grades: Mapping[str, str]) -> float:
        """Sum of the points of the measures met; raises NotAnswered and OutOfRange."""
        return fsum(graded.scored(self.about.label, self.points(), grades).values())

    def beta(self, grades: Mapping[str, str]) -> Fraction | None:
        """Beta of a pair; None below 65 points. Raises NotAnswered and OutOfRange."""
        enough = self.score(grades) >= table(self.points_table).extra["pass_at"]
        return self.ends[0] if enough else None

    def worked(self, grades: Mapping[str, str]) -> tuple[str, ...]:
        """Score and beta with the answers of one group put in; raises NotAnswered and OutOfRange."""
        score, beta = self.score(grades), self.beta(grades)
        return (
            f"score = {score:g}: " + (f"65 or more, beta = {put_in(beta)}" if beta else "below 65, no beta is given"),
        )
