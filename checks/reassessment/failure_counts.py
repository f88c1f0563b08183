"""Which recorded failures count as evidence for beta and failure rates of a group, and which are left out and why.

Counted are hidden dangerous failures of channels: those found by a proof test, a real demand or an inspection (house rule). A
record does not tell failed channels from degraded ones, so degraded ones count in full: the cautious side.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from checks.assessment.assessment import Assessment
from checks.events.plant.failure import Body, FoundBy
from checks.plantfile.equipment import Element, Group
from checks.state.live import State
from checks.state.reopened import Failed
from scoring.field_data import impact_vectors

HIDDEN: frozenset[FoundBy] = frozenset({"proof-test", "demand", "inspection"})
"""How a hidden dangerous failure is found."""
NOT_HIDDEN: dict[FoundBy, str] = {
    "self-test": "found by a self-test: a detected failure, which says nothing about beta of undetected ones",
    "unwanted-trip": "a spurious trip: a safe failure",
    "mode-change": "an unauthorised mode change: not known to be a dangerous failure of a channel",
    "other": "found in another way: not known to be a hidden dangerous failure",
}


@dataclass(frozen=True, slots=True)
class FailureHistory:
    """Recorded failures as far as their reader may see them; ``groups`` are the groups of which the reader sees every failure."""

    assessment: Assessment
    failures: Sequence[Failed]
    groups: Collection[str]
    day: date

    @classmethod
    def of(cls, state: State) -> FailureHistory:
        """The history in a state, which holds what its reader may see."""
        return cls(state.assessment, state.records.failures, state.groups, state.day)

    def alike(self, key: str, *, least: int = 1) -> tuple[list[str], int]:
        """Groups of ``least`` channels or more of the same devices, the group itself first, and how many the reader may not see."""
        groups = self.assessment.plant.groups
        kind = channel_kinds(groups[key])
        others = [
            other
            for other, group in groups.items()
            if other != key and channel_kinds(group) == kind and len(group.channels) >= least
        ]
        seen = [other for other in others if other in self.groups]
        return [key, *seen], len(others) - len(seen)


@dataclass(frozen=True, slots=True)
class CountedFailure:
    """A failure event of one group: ``failed`` of ``size`` channels; ``weight`` is the probability of a shared cause.

    ``staggered``: whether the channels were tested in turn; None where the record does not say so.
    """

    on: date
    reference: str
    failed: int
    size: int
    weight: float
    staggered: bool | None

    @property
    def impact(self) -> tuple[float, ...]:
        """Its impact vector n_1 … n_size."""
        return impact_vectors.impact_vector(failed=self.failed, size=self.size, weight=self.weight)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A record of a group that does not count, and the reason in words."""

    on: date
    reference: str
    reason: str


@dataclass(frozen=True, slots=True)
class FailureCounts:
    """The records of one group: those that count and those left out."""

    group: str
    counted: tuple[CountedFailure, ...]
    left_out: tuple[LeftOut, ...]

    @property
    def by_multiplicity(self) -> dict[int, float]:
        """Number of events by the number of channels affected; doubtful ones by their weights."""
        sums: dict[int, float] = {}
        for failure in self.counted:
            for number, count in enumerate(failure.impact, start=1):
                if count:
                    sums[number] = sums.get(number, 0.0) + count
        return dict(sorted(sums.items()))


def channel_kinds(group: Group) -> frozenset[tuple[str | Element, ...]]:
    """The different channels of a group, each as its devices and redundant elements in series."""
    return frozenset(tuple(channel) for channel in group.channels)


def days_observed(group: Group, day: date) -> int:
    """Days of observation up to a day; 0 where no start is entered, or none before that day."""
    return max(0, (day - date.fromisoformat(group.observed_since)).days) if group.observed_since else 0


def failure_counts(history: FailureHistory, key: str) -> FailureCounts:
    """The records of a group. Their order does not matter to what is computed from them."""
    found = list(_judged(key, history.assessment.plant.groups, history.failures))
    return FailureCounts(
        key,
        tuple(entry for entry in found if isinstance(entry, CountedFailure)),
        tuple(entry for entry in found if isinstance(entry, LeftOut)),
    )


def _judged(key: str, groups: dict[str, Group], failures: Iterable[Failed]) -> Iterator[CountedFailure | LeftOut]:
    for failure in failures:
        body = failure.body
        if key not in body.groups:
            continue
        on, fitted = date.fromisoformat(body.on), len(groups[key].channels)
        failed, size = _channels_in(key, groups, body), body.channels_at_risk or fitted
        reason = _reason(body, failed, size)
        if reason:
            yield LeftOut(on, body.reference, reason)
        elif failed:
            yield CountedFailure(on, body.reference, failed, size, _weight(body), body.staggered_tests)


def _reason(body: Body, failed: int | None, size: int) -> str:
    """Why a record does not count; empty where it does."""
    if body.found_by not in HIDDEN:
        return NOT_HIDDEN[body.found_by]
    if body.inside_boundary is False:
        return "the failure lies outside the group: its channels worked as they should"
    if not body.channels:
        return "no failed channel is named: complete the record"
    if failed is None:
        return "several groups, whose channels cannot be told apart by name: record a failure for each group"
    if failed > size:
        return f"{failed} channels failed but the group has {size}: enter how many could have failed"
    return ""


def _weight(body: Body) -> float:
    """Probability of a shared cause. An undecided record counts in full until it is decided or weighted (house rule)."""
    if body.is_event is False:
        return 0.0
    return 1.0 if body.shared_weight is None else body.shared_weight


def _channels_in(key: str, groups: dict[str, Group], body: Body) -> int | None:
    """Number of channels of a group that failed; None where names do not tell them from those of other groups."""
    named, several = set(body.channels), [groups[name] for name in set(body.groups) if name in groups]
    if len(set(body.groups)) == 1:
        return len(named)
    tags = [tag for group in several for tag in set(group.tags)]
    if any(tags.count(name) != 1 for name in named):
        return None
    return len(named.intersection(groups[key].tags))
