"""Results with their parts, as frozen values: screens show them and compute nothing."""

from __future__ import annotations

from dataclasses import dataclass

from checks.assessment.answers import ByQuestion
from scoring.common_cause import Part, Score
from scoring.equipment import Split
from scoring.erosion import Cases
from scoring.levels import Level
from scoring.voting import Voting


@dataclass(frozen=True, slots=True)
class Betas:
    """beta and beta_D of a redundant group: value of a pair (1oo2), MooN factor, with common cause, with cyber scenario."""

    beta_int: float
    beta_d_int: float
    voting_factor: float
    beta: float
    beta_d: float
    beta_adjusted: float
    beta_d_adjusted: float


@dataclass(frozen=True, slots=True)
class Band:
    """Range of the result with common cause: all open answers met, and all claims without evidence not met."""

    optimistic: float
    pessimistic: float


@dataclass(frozen=True, slots=True)
class Measured:
    """One measure of a group, PFDavg [-] or PFH [1/h]: four cases, and two of them in parts.

    ``scored`` is the split with common cause, ``adjusted`` that with common cause and cyber scenario. Splits and band are
    None for a revision that did not store them and was computed by another edition.
    """

    cases: Cases
    scored: Split | None
    adjusted: Split | None
    band: Band | None


@dataclass(frozen=True, slots=True)
class GroupResult:
    """Result of one group. ``betas`` is None without redundancy, ``score`` also where a beta is specified.

    ``exposure`` is None where the zone was never reviewed. ``low`` is the PFDavg, ``high`` the PFH. ``beta_band`` is the
    range of beta over open answers. ``answers`` are the answers that apply to the group.
    """

    id: str
    part: Part
    voting: Voting
    score: Score | None
    betas: Betas | None
    exposure: float | None
    low: Measured
    high: Measured
    beta_band: tuple[float, float] | None
    answers: ByQuestion
    asked: int
    unanswered: int

    @property
    def pfd(self) -> Cases:
        """The four cases of PFDavg."""
        return self.low.cases

    @property
    def pfh(self) -> Cases:
        """The four cases of PFH [1/h]."""
        return self.high.cases


@dataclass(frozen=True, slots=True)
class FunctionResult:
    """Result of one function: the sum of its groups. ``cases`` are PFDavg in low demand, PFH [1/h] in high demand.

    ``band`` belongs to the case with common cause. ``unreviewed`` are redundant programmable groups whose zone nobody reviewed:
    their exposure is not known, so ``adjusted`` is the best value that the cyber scenario can have.
    """

    id: str
    demand: str
    groups: tuple[GroupResult, ...]
    cases: Cases
    target: float
    band: Band | None
    break_even: float | None
    unreviewed: tuple[str, ...] = ()

    @property
    def limit(self) -> float:
        """Largest PFDavg or PFH that meets the target."""
        return 1.0 / self.target if self.demand == "low" else self.target

    @property
    def margin(self) -> float:
        """Factor by which the result with common cause is better than the target; below 1 it falls short."""
        return self.limit / self.cases.scored

    @property
    def order(self) -> tuple[float, float, str]:
        """Sort key: margin with common cause, margin with cyber scenario, id."""
        return self.margin, self.limit / self.cases.adjusted, self.id

    def measured(self, group: GroupResult) -> Measured:
        """One group in the measure of this function."""
        return group.low if self.demand == "low" else group.high

    def group_cases(self, group: GroupResult) -> Cases:
        """Cases of one group in the measure of this function."""
        return self.measured(group).cases

    @property
    def share(self) -> dict[str, float]:
        """Share of each group in the result with cyber scenario."""
        return self.share_of("adjusted")

    def share_of(self, case: str) -> dict[str, float]:
        """Share of each group in the result of one case."""
        total = getattr(self.cases, case)
        return {group.id: getattr(self.group_cases(group), case) / total for group in self.groups}

    @property
    def weakest(self) -> GroupResult:
        """The group that contributes most to the result with common cause."""
        return max(self.groups, key=lambda group: self.group_cases(group).scored)

    def meets(self, case: str) -> bool:
        """Whether the target is met in one of the four cases."""
        return bool(getattr(self.cases, case) <= self.limit)


@dataclass(frozen=True, slots=True)
class Gap:
    """A topic or requirement that is not met, but required at the target level of its zone."""

    question: str
    is_topic: bool
    fr: tuple[str, ...]
    requirements: tuple[str, ...]
    value: str
    weight: int
    action: str


HIDDEN = Gap(question="", is_topic=True, fr=(), requirements=(), value="", weight=0, action="")
"""Placeholder for a gap that is only counted."""


@dataclass(frozen=True, slots=True)
class ZoneResult:
    """Result of one zone: level per foundational requirement, gaps, groups in the zone, and functions with a programmable one."""

    id: str
    reviewed: bool
    target: dict[str, int]
    levels: dict[str, Level]
    gaps: tuple[Gap, ...]
    groups: tuple[str, ...]
    reach: tuple[str, ...]
    answers: ByQuestion

    @property
    def short(self) -> dict[str, int]:
        """Missing levels per foundational requirement; never averaged."""
        return {fr: max(0, level - self.levels[fr].indicated) for fr, level in self.target.items()}

    @property
    def asked(self) -> int:
        """Number of requirements asked, directly or through a topic, of 100."""
        return sum(level.asked for level in self.levels.values())

    @property
    def not_asked(self) -> int:
        """Number of requirements not asked yet."""
        return sum(level.not_asked for level in self.levels.values())
