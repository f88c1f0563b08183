"""What is computed: frozen values that keep their parts, so that a screen shows without computing."""

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
    """Result with common cause while questions are open: every open answer met, and every claim without evidence not met."""

    optimistic: float
    pessimistic: float


@dataclass(frozen=True, slots=True)
class Measured:
    """One measure of a group, PFDavg [-] or PFH [1/h]: the four cases, and two of them split.

    ``scored`` is the split with common cause, ``adjusted`` that with the cyber scenario too. Splits and band are
    None in a revision that did not store them and whose figures another edition computed.
    """

    cases: Cases
    scored: Split | None
    adjusted: Split | None
    band: Band | None


@dataclass(frozen=True, slots=True)
class GroupResult:
    """Result of one group. ``betas`` is None without redundancy, ``score`` also where a beta is specified.

    ``exposure`` is None where the zone was never reviewed. ``low`` is measured as PFDavg, ``high`` as PFH. ``beta_band`` are the
    ends of beta while questions are open. ``held`` are the answers that apply to the group.
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
    held: ByQuestion
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
    """Result of one function: the sum of its groups. ``cases`` are PFDavg in low and PFH in high demand.

    ``band`` is that of the case with common cause. ``unreviewed`` are redundant programmable groups whose zone nobody reviewed:
    their exposure is not known, so the cyber scenario is at best what stands in ``adjusted``.
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
        """Factor by which the result with common cause betters the target; below 1 it falls short."""
        return self.limit / self.cases.scored

    @property
    def order(self) -> tuple[float, float, str]:
        """What functions are sorted by: margin with common cause, margin with cyber scenario, id."""
        return self.margin, self.limit / self.cases.adjusted, self.id

    def measured(self, group: GroupResult) -> Measured:
        """One group in the measure of this function."""
        return group.low if self.demand == "low" else group.high

    def group_cases(self, group: GroupResult) -> Cases:
        """Cases of one group in the measure of this function."""
        return self.measured(group).cases

    @property
    def share(self) -> dict[str, float]:
        """Part of the adjusted total that each group contributes."""
        return self.share_of("adjusted")

    def share_of(self, case: str) -> dict[str, float]:
        """Part of the total of one case that each group contributes."""
        whole = getattr(self.cases, case)
        return {group.id: getattr(self.group_cases(group), case) / whole for group in self.groups}

    @property
    def weakest(self) -> GroupResult:
        """The group that contributes most to the result with common cause."""
        return max(self.groups, key=lambda group: self.group_cases(group).scored)

    def meets(self, case: str) -> bool:
        """Whether the target is met in this model in one of the four cases."""
        return bool(getattr(self.cases, case) <= self.limit)


@dataclass(frozen=True, slots=True)
class Gap:
    """A topic or requirement that is not met and is required at the target of its zone."""

    question: str
    is_topic: bool
    fr: tuple[str, ...]
    requirements: tuple[str, ...]
    value: str
    weight: int
    action: str


HIDDEN = Gap(question="", is_topic=True, fr=(), requirements=(), value="", weight=0, action="")
"""Stands for a gap of which only the number is told."""


@dataclass(frozen=True, slots=True)
class ZoneResult:
    """Result of one zone: level per foundational requirement, gaps, and the functions whose groups lie in it."""

    id: str
    reviewed: bool
    target: dict[str, int]
    levels: dict[str, Level]
    gaps: tuple[Gap, ...]
    groups: tuple[str, ...]
    reach: tuple[str, ...]
    held: ByQuestion

    @property
    def short(self) -> dict[str, int]:
        """Levels missing per foundational requirement; never averaged."""
        return {fr: max(0, level - self.levels[fr].indicated) for fr, level in self.target.items()}

    @property
    def asked(self) -> int:
        """Requirements that were asked, directly or through a topic, of 100."""
        return sum(level.asked for level in self.levels.values())

    @property
    def not_asked(self) -> int:
        """Requirements nobody asked yet."""
        return sum(level.not_asked for level in self.levels.values())
