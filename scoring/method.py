"""What a calculation method is: a name with an edition, what it rests on, and one small interface for each kind.

A changed formula, table or house constant is a new edition; the old one stays callable, since signed records name it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal, Protocol

from scoring.common_cause import Part, Row, Score
from scoring.equipment import Split, VotedGroup
from scoring.units import Fraction, Fractions, Hours
from scoring.voting import Voting

Confidence = Literal["read", "cross-checked", "closure", "memory", "house rule"]
Measure = Literal["pfd", "pfh"]


@dataclass(frozen=True, slots=True)
class About:
    """What a report prints of a method.

    ``id`` and ``edition`` name it for ever. ``label`` is its name in words, ``source`` the document with edition and place,
    ``confidence`` how far that was seen (see ``scoring.source``), ``valid`` the range of validity in words, ``formula`` the
    equations in plain text.
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
        """Id and edition as a record writes them, such as ``annex-b edition 2``."""
        return f"{self.id} edition {self.edition}"


@dataclass(frozen=True, slots=True)
class Claims:
    """Answers about one group as a beta method sees them.

    ``claimed``: ids of the questions that are met. ``coverage``: diagnostic coverage lambda_DD / lambda_D. ``acted_on``:
    hours within which a detected failure is acted on; None where it is not.
    """

    part: Part
    claimed: Collection[str]
    coverage: Fraction
    acted_on: Hours | None


@dataclass(frozen=True, slots=True)
class Estimate:
    """Beta and beta_D of a pair (1oo2) of channels, and the score behind them; None where a method has none."""

    beta: Fraction
    beta_d: Fraction
    score: Score | None


class BetaMethod(Protocol):
    """Answers to beta."""

    @property
    def about(self) -> About:
        """What the method is."""
        ...

    def rows(self, part: Part) -> Mapping[str, Row]:
        """Questions that are asked of a part, by id, with what each is worth."""
        ...

    def estimate(self, claims: Claims) -> Estimate:
        """Beta and beta_D of a pair."""
        ...

    def worst(self, part: Part) -> Fraction:
        """The worst beta that the method gives to a part."""
        ...

    def missing(self, part: Part, points: float) -> float | None:
        """Points that are missing for the next better beta; None where there is none."""
        ...

    def worked(self, claims: Claims) -> tuple[str, ...]:
        """The equations with the numbers of one group put in."""
        ...


class MoonFactor(Protocol):
    """Beta of a pair to beta of MooN."""

    @property
    def about(self) -> About:
        """What the convention is."""
        ...

    def factor(self, voting: Voting) -> float:
        """Factor k(M,N); raises VotingRefused for a voting that is not printed or has no redundancy."""
        ...


class RedundancyMethod(Protocol):
    """Betas and plant data to a result in two parts. Betas may be arrays; the result has their shape."""

    @property
    def about(self) -> About:
        """What the method is."""
        ...

    def result(self, measure: Measure, group: VotedGroup, *, beta: Fractions, beta_d: Fractions) -> Split:
        """PFDavg [-] or PFH [1/h] of a group; ``beta`` and ``beta_d`` hold the MooN factor."""
        ...

    def remarks(self, group: VotedGroup) -> tuple[str, ...]:
        """What to say of a group: where it lies outside the range of validity, and what is approximate."""
        ...

    def worked(self, measure: Measure, group: VotedGroup, *, beta: Fraction, beta_d: Fraction) -> tuple[str, ...]:
        """The equations with the numbers of one group put in."""
        ...


@dataclass(frozen=True, slots=True)
class Unmet:
    """A security topic that exposes a group: weight 3, 2 or 1, unmet share 0 to 1, rows of Table D.1 that it undermines."""

    topic: str
    weight: int
    share: Fraction
    undermines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Exposed:
    """A redundant group with its betas as an exposure rule sees it. ``claims`` is None where the beta is specified."""

    part: Part
    method: BetaMethod
    claims: Claims | None
    beta_int: Fraction
    beta_d_int: Fraction
    factor: float
    g: Fraction
    topics: tuple[Unmet, ...]


class ExposureRule(Protocol):
    """Exposure to adjusted betas. Security answers only ever raise beta."""

    @property
    def about(self) -> About:
        """What the rule is."""
        ...

    def adjusted(self, group: Exposed) -> tuple[Fraction, Fraction]:
        """Beta and beta_D with the MooN factor, raised by what the security answers leave open."""
        ...

    def worked(self, group: Exposed) -> tuple[str, ...]:
        """The equation with the numbers of one group put in."""
        ...
