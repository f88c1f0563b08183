"""Results with their parts, as frozen values: screens show them and compute nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from checks.assessment.answers import ByQuestion
from scoring.common_cause import Part, Score
from scoring.equipment import Split
from scoring.erosion import Cases
from scoring.erosion import break_even as break_even_at
from scoring.levels import Level
from scoring.method import Measure
from scoring.testing import NO_TERMS, Terms
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
    None for a revision that did not store them and was computed by another edition. ``terms`` are in every case, beside the
    split: time in test, test error, stated result.
    """

    cases: Cases
    scored: Split | None
    adjusted: Split | None
    band: Band | None
    terms: Terms = NO_TERMS


@dataclass(frozen=True, slots=True)
class GroupResult:
    """Result of one group. ``betas`` is None without redundancy, ``score`` also where a beta is specified.

    ``exposure`` is None where the zone was never reviewed. ``low`` is the PFDavg, ``high`` the PFH; a stated result may lack
    one of them. ``beta_band`` is the range of beta over open answers. ``answers`` are the answers that apply to the group.
    ``stated``: its result is stated, and ``voting`` stands for a single channel. ``pairs`` are beta and beta_D without common cause,
    with it, with cyber scenario, optimistic, pessimistic; empty for a stated or stored result.
    """

    id: str
    part: Part
    voting: Voting
    score: Score | None
    betas: Betas | None
    exposure: float | None
    low: Measured | None
    high: Measured | None
    beta_band: tuple[float, float] | None
    answers: ByQuestion
    asked: int
    unanswered: int
    stated: bool = False
    pairs: tuple[tuple[float, float], ...] = field(default=(), compare=False, repr=False)

    @property
    def arrangement(self) -> str:
        """The voting in words, such as ``2oo3``, or ``stated result``."""
        return "stated result" if self.stated else str(self.voting)

    def measured(self, measure: Measure) -> Measured:
        """One measure, "pfd" or "pfh"; raises LookupError where a stated result lacks it."""
        measured = self.low if measure == "pfd" else self.high
        if measured is None:
            raise LookupError(f"{self.id} states no {measure}")
        return measured

    @property
    def pfd(self) -> Cases:
        """The four cases of PFDavg."""
        return self.measured("pfd").cases

    @property
    def pfh(self) -> Cases:
        """The four cases of PFH [1/h]."""
        return self.measured("pfh").cases


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry in the list of a function, in its measure: a group as this function votes it, or alternatives.

    ``beta`` is what alternatives share with each other.
    """

    groups: tuple[GroupResult, ...]
    measured: Measured
    beta: float | None = None

    @property
    def id(self) -> str:
        """Id of the group, or of the alternatives such as ``ft or lt``."""
        return " or ".join(group.id for group in self.groups)

    @property
    def arrangement(self) -> str:
        """The voting in words, ``stated result``, or ``any``."""
        return self.groups[0].arrangement if self.beta is None else "any"

    @property
    def redundant(self) -> bool:
        """Whether it survives a dangerous failure: by its voting, or since another alternative is left."""
        return self.beta is not None or self.groups[0].voting.redundant


@dataclass(frozen=True, slots=True)
class FunctionResult:
    """Result of one function: the sum of its entries, or their mean together on the timeline. ``cases`` are PFDavg in low demand, PFH [1/h] in high demand.

    ``band`` belongs to the case with common cause, ``break_even`` to that with the cyber scenario. ``unreviewed`` are redundant programmable groups whose zone nobody reviewed:
    their exposure is not known, so ``adjusted`` is the best value that the cyber scenario can have.
    """

    id: str
    demand: str
    entries: tuple[Entry, ...]
    cases: Cases
    target: float
    band: Band | None
    break_even: float | None
    unreviewed: tuple[str, ...] = ()
    target_sil: int | None = None

    @property
    def groups(self) -> tuple[GroupResult, ...]:
        """Its groups as this function votes them, alternatives included."""
        return tuple(group for entry in self.entries for group in entry.groups)

    def entry_of(self, group: str) -> Entry:
        """The entry that holds a group."""
        return next(entry for entry in self.entries if any(part.id == group for part in entry.groups))

    def with_groups(self, change: Callable[[GroupResult], GroupResult]) -> FunctionResult:
        """The same with each group changed."""
        entries = (replace(entry, groups=tuple(map(change, entry.groups))) for entry in self.entries)
        return replace(self, entries=tuple(entries))

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

    @property
    def break_even_scored(self) -> float | None:
        """Break-even probability that starts from the result with common cause alone; None in high demand or where that misses.

        It takes no exposure into account, so that a compromise is counted once: in the probability itself.
        """
        return self.break_even_from(self.cases.scored)

    def break_even_from(self, pfd: float) -> float | None:
        """Break-even probability that starts from a PFDavg; None in high demand or where that misses the target."""
        return break_even_at(pfd=pfd, target_rrf=self.target) if self.demand == "low" else None

    @property
    def measure(self) -> Measure:
        """The measure of this function: "pfd" in low, "pfh" in high demand."""
        return "pfd" if self.demand == "low" else "pfh"

    @property
    def share(self) -> dict[str, float]:
        """Share of each entry in the result with cyber scenario, by its id."""
        return self.share_of("adjusted")

    def share_of(self, case: str) -> dict[str, float]:
        """Share of each entry in the result of one case, by its id; on the timeline they add up to a little more than 1."""
        total = getattr(self.cases, case)
        return {entry.id: min(1.0, getattr(entry.measured.cases, case) / total) for entry in self.entries}

    @property
    def weakest(self) -> Entry:
        """The entry that contributes most to the result with common cause."""
        return max(self.entries, key=lambda entry: entry.measured.cases.scored)

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
