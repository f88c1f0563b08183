"""Calculation methods: the description with id, edition and source, and one interface for each kind of method.

A changed formula, table or house constant is a new edition. The old one stays available: signed records name it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal, Protocol

from scoring.common_cause import Part, Row, Score
from scoring.equipment import Split, VotedGroup
from scoring.testing import Terms
from scoring.units import Fraction, Fractions, Hours
from scoring.voting import Voting

Confidence = Literal["read", "cross-checked", "closure", "memory", "house rule"]
Measure = Literal["pfd", "pfh"]


@dataclass(frozen=True, slots=True)
class About:
    """Description of a method, as printed in a report.

    ``id`` and ``edition`` never change. ``label`` is its name in words, ``source`` the document with edition and clause,
    ``confidence`` how well the source is known (see ``scoring.source``), ``valid`` the range of validity in words, ``formula``
    the equations in plain text.
    """

    id: str
    edition: int
    label: str
    source: str
    confidence: Confidence
    valid: str
    formula: tuple[str, ...]

    @property
    def name(self) -> str:
        """Id and edition as written in a record, such as ``annex-b edition 2``."""
        return f"{self.id} edition {self.edition}"


@dataclass(frozen=True, slots=True)
class Claims:
    """Answers about one group as input to a beta method.

    ``claimed``: ids of the questions that score as met. ``coverage``: diagnostic coverage lambda_DD / lambda_D. ``acted_on``:
    time [h] within which a detected failure is acted on; None where it is not. ``grades``: the grade of each answered question,
    for a method with questions of its own.
    """

    part: Part
    claimed: Collection[str]
    coverage: Fraction
    acted_on: Hours | None
    grades: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Estimate:
    """Beta and beta_D of a pair (1oo2) of channels, and their score; ``score`` is None for a method without points."""

    beta: Fraction
    beta_d: Fraction
    score: Score | None


class BetaMethod(Protocol):
    """From answers to beta."""

    @property
    def about(self) -> About:
        """Description of the method."""
        ...

    @property
    def points_source(self) -> str:
        """Document, edition and table of the points; empty for a method without points."""
        ...

    def rows(self, part: Part) -> Mapping[str, Row]:
        """Questions that apply to a part, by id, with their points."""
        ...

    def counted(self, claims: Claims) -> Collection[str]:
        """Questions whose points count in the score: of alternatives the best claimed one."""
        ...

    def estimate(self, claims: Claims) -> Estimate:
        """Beta and beta_D of a pair."""
        ...

    def worst(self, part: Part) -> Fraction:
        """The worst beta that the method gives for a part."""
        ...

    def bands(self, part: Part) -> tuple[tuple[float, Fraction], ...]:
        """Bands of the score, worst first: the score from which each holds, and its beta; none without such bands."""
        ...

    def missing(self, part: Part, points: float) -> float | None:
        """Points missing to the next better beta; None where there is none."""
        ...

    def thin(self, part: Part, claimed: Iterable[str]) -> tuple[str, ...]:
        """Categories of questions that contribute too little to the score: a warning, not a failure."""
        ...

    def worked(self, claims: Claims) -> tuple[str, ...]:
        """The equations with the numbers of one group put in."""
        ...


class AskedBeta(Protocol):
    """A beta method with questions of its own, each answered by a grade: a level, or met and not-met.

    It stands beside the beta method of a plant as a further opinion, and carries the result of the groups that choose it
    (``scoring.beta.by_grades``).
    """

    @property
    def about(self) -> About:
        """Description of the method."""
        ...

    @property
    def bank(self) -> str:
        """Name of the question bank that it asks from."""
        ...

    @property
    def parts(self) -> tuple[Part, ...]:
        """Parts of a function that the method is made for."""
        ...

    @property
    def ends(self) -> tuple[Fraction, Fraction]:
        """The best and the worst beta that the method gives."""
        ...

    def points(self) -> Mapping[str, Mapping[str, float]]:
        """Points of each grade, worst grade first, by the id of the question."""
        ...

    def beta(self, grades: Mapping[str, str]) -> Fraction | None:
        """Beta of a pair (1oo2), from a grade for every question; None where the method gives no value.

        Raises NotAnswered for a missing grade, OutOfRange for one that the method does not print.
        """
        ...

    def worked(self, grades: Mapping[str, str]) -> tuple[str, ...]:
        """The equation with the grades of one group put in."""
        ...


class NotAnswered(ValueError):
    """A question of a method has no grade. No value takes its place."""

    def __init__(self, method: str, missing: Collection[str]) -> None:
        super().__init__(f"{method} needs a grade for {', '.join(missing)}")


class MoonFactor(Protocol):
    """From the beta of a pair (1oo2) to that of a MooN group."""

    @property
    def about(self) -> About:
        """Description of the convention."""
        ...

    def factor(self, voting: Voting) -> float:
        """Factor k(M,N); raises VotingRefused for a voting that the table does not print or that has no redundancy."""
        ...


class RedundancyMethod(Protocol):
    """From betas and plant data to a result in two parts. Betas may be arrays; the result has their shape."""

    @property
    def about(self) -> About:
        """Description of the method."""
        ...

    def result(self, measure: Measure, group: VotedGroup, *, beta: Fractions, beta_d: Fractions) -> Split:
        """PFDavg [-] or PFH [1/h] of a group; ``beta`` and ``beta_d`` include the MooN factor."""
        ...

    def test_terms(self, measure: Measure, group: VotedGroup) -> Terms:
        """Time in test and test errors of a group, as PFDavg [-] or PFH [1/h]; the same for every beta."""
        ...

    def remarks(self, group: VotedGroup) -> tuple[str, ...]:
        """Remarks on a group: outside the range of validity, or an approximation."""
        ...

    def worked(self, measure: Measure, group: VotedGroup, *, beta: Fraction, beta_d: Fraction) -> tuple[str, ...]:
        """The equations with the numbers of one group put in."""
        ...


@dataclass(frozen=True, slots=True)
class Unmet:
    """An unmet security topic of a group: weight 3, 2 or 1, unmet share 0 to 1, rows of Table D.1 that it undermines."""

    topic: str
    weight: int
    share: Fraction
    undermines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Exposed:
    """A redundant group as input to an exposure rule; ``g`` is its exposure. ``claims`` is None where the beta is specified."""

    part: Part
    method: BetaMethod
    claims: Claims | None
    beta_int: Fraction
    beta_d_int: Fraction
    factor: float
    g: Fraction
    topics: tuple[Unmet, ...]


class ExposureRule(Protocol):
    """From exposure to adjusted betas. Security answers never lower beta."""

    @property
    def about(self) -> About:
        """Description of the rule."""
        ...

    def adjusted(self, group: Exposed) -> tuple[Fraction, Fraction]:
        """Beta and beta_D with the MooN factor, raised by the unmet security topics."""
        ...

    def worked(self, group: Exposed) -> tuple[str, ...]:
        """The equation with the numbers of one group put in."""
        ...
