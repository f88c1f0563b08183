"""What is computed: frozen values that keep their parts, so that a screen shows without computing."""

from __future__ import annotations

from dataclasses import dataclass

from checks.answers import ByQuestion
from scoring.annex_b import Split
from scoring.common_cause import Part, Score
from scoring.erosion import Cases
from scoring.levels import Level
from scoring.voting import Voting


@dataclass(frozen=True, slots=True)
class Betas:
    """beta and beta_D of a redundant group: 1oo2 value, voting factor, as scored, as adjusted."""

    beta_int: float
    beta_d_int: float
    voting_factor: float
    beta: float
    beta_d: float
    beta_adjusted: float
    beta_d_adjusted: float


@dataclass(frozen=True, slots=True)
class Band:
    """Adjusted result while questions are open: every open answer met, and every claim without evidence not met."""

    beta_optimistic: float
    beta_pessimistic: float
    optimistic: float
    pessimistic: float


@dataclass(frozen=True, slots=True)
class GroupResult:
    """Result of one group. ``betas`` is None without redundancy, ``score`` also where a beta is stated.

    ``exposure`` is None where the zone was never reviewed. ``parts`` split the adjusted PFD, ``pfh_parts`` the
    adjusted PFH. ``band`` holds adjusted PFDs, ``pfh_band`` PFHs. ``held`` are the answers that speak for the group.
    """

    id: str
    part: Part
    voting: Voting
    score: Score | None
    betas: Betas | None
    exposure: float | None
    pfd: Cases
    pfh: Cases
    parts: Split
    pfh_parts: Split
    band: Band
    pfh_band: Band
    held: ByQuestion
    asked: int
    unanswered: int


@dataclass(frozen=True, slots=True)
class FunctionResult:
    """Result of one function: the sum of its groups. ``cases`` are PFDavg in low and PFH in high demand."""

    id: str
    demand: str
    groups: tuple[GroupResult, ...]
    cases: Cases
    target: float
    optimistic: float
    pessimistic: float
    break_even: float | None

    @property
    def limit(self) -> float:
        """Largest PFDavg or PFH that meets the target."""
        return 1.0 / self.target if self.demand == "low" else self.target

    @property
    def margin(self) -> float:
        """Factor by which the adjusted result betters the target; below 1 it falls short."""
        return self.limit / self.cases.adjusted

    def group_cases(self, group: GroupResult) -> Cases:
        """Cases of one group in the measure of this function."""
        return group.pfd if self.demand == "low" else group.pfh

    def group_parts(self, group: GroupResult) -> Split:
        """Adjusted result of one group in the measure of this function, independent and shared."""
        return group.parts if self.demand == "low" else group.pfh_parts

    @property
    def share(self) -> dict[str, float]:
        """Part of the adjusted total that each group carries."""
        return {one.id: self.group_cases(one).adjusted / self.cases.adjusted for one in self.groups}

    @property
    def weakest(self) -> GroupResult:
        """The group that carries most of the adjusted total."""
        return max(self.groups, key=lambda one: self.group_cases(one).adjusted)

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
