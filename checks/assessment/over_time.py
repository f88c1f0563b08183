"""Functions with groups on the timeline: their groups at the same moments, averaged together in all four cases.

Groups that another method calculates, and stated results, enter as constants.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, TypeVar, cast

import numpy as np

from checks.assessment.editions import Editions
from checks.assessment.redundancy_inputs import voted_for
from checks.assessment.results import Band, Entry, GroupResult, Measured
from checks.plantfile.plant import Plant
from checks.timeline import timed_groups
from checks.timeline.timed_groups import Factors
from scoring.equipment import Split
from scoring.erosion import Cases
from scoring.redundancy.group_over_time import GroupOverTime
from scoring.testing import Terms
from scoring.timeline import function as timed
from scoring.timeline.method import TIMELINE
from scoring.units import Array, Fractions
from scoring.voting import SINGLE, Voting

Result = TypeVar("Result")
MOST_KEPT = 4_000
"""Results that are kept; then all are forgotten."""
COLUMNS = ("ideal", "scored", "adjusted", "optimistic", "pessimistic")


class Kept:
    """Results by what they depend on, of one plant: an answer that changes no beta finds those of the timeline again."""

    def __init__(self) -> None:
        self._known: dict[Hashable, Any] = {}

    def get(self, key: Hashable, compute: Callable[[], Result]) -> Result:
        """The result of a key, computed where it is new; another thread may forget all meanwhile."""
        known = self._known
        if key not in known:
            if len(known) >= MOST_KEPT:
                known = self._known = {}
            known[key] = compute()
        return cast("Result", known[key])


class Deferred(Measured):
    """A measure on the timeline: a function takes its groups at the same moments, so most answers need no mean of one group.

    It equals the measure that it stands for.
    """

    def __init__(self, compute: Callable[[], Measured]) -> None:
        object.__setattr__(self, "_compute", compute)

    @cached_property
    def _found(self) -> Measured:
        compute: Callable[[], Measured] = self.__dict__["_compute"]
        return compute()

    @property
    def cases(self) -> Cases:
        """The four cases."""
        return self._found.cases

    @property
    def scored(self) -> Split | None:
        """The split with common cause."""
        return self._found.scored

    @property
    def adjusted(self) -> Split | None:
        """The split with common cause and cyber scenario."""
        return self._found.adjusted

    @property
    def band(self) -> Band | None:
        """The range of the case with common cause."""
        return self._found.band

    @property
    def terms(self) -> Terms:
        """What is in every case."""
        return self._found.terms

    def __eq__(self, other: object) -> bool:
        return self._found == (other._found if isinstance(other, Deferred) else other)

    def __hash__(self) -> int:
        return hash(self._found)


@dataclass(frozen=True)
class OverTime:
    """A function over time: its entries, its four cases and its band, PFDavg [-] or PFH [1/h]."""

    entries: tuple[Entry, ...]
    cases: Cases
    band: Band


def on_timeline(plant: Plant, editions: Editions, group: str) -> bool:
    """Whether the timeline calculates a group; a stated result is calculated by no method."""
    return plant.groups[group].stated_result is None and editions.redundancy_of(group).about.id == TIMELINE


def of_entries(plant: Plant, editions: Editions, entries: Sequence[Entry], *, low: bool, kept: Kept) -> OverTime | None:
    """A function of entries in low or high demand over time; None where none of its groups is on the timeline."""
    groups = {group.id: on_timeline(plant, editions, group.id) for entry in entries for group in entry.groups}
    if not any(groups.values()):
        return None
    known = tuple(
        (entry.beta, tuple(_depends_on(group, over=groups[group.id]) for group in entry.groups)) for entry in entries
    )
    found = kept.get((known, low), lambda: _Averaged(plant, editions, entries, low=low).result(kept))
    # The figures are kept, the groups are those of now: their answers may differ where no beta does.
    entries_now = (replace(each, groups=entry.groups) for each, entry in zip(found.entries, entries, strict=True))
    return replace(found, entries=tuple(entries_now))


def _depends_on(group: GroupResult, *, over: bool) -> Hashable:
    if over:
        return group.id, group.voting, group.pairs
    return group.id, group.low, group.high


class _Averaged:
    """The means of one function: voted groups in five columns of betas, and a single channel in place of each."""

    def __init__(self, plant: Plant, editions: Editions, entries: Sequence[Entry], *, low: bool) -> None:
        self._plant, self._editions, self._entries, self._low = plant, editions, entries, low

    def result(self, kept: Kept) -> OverTime:
        """Entries, cases and band of the function; a single channel in place of each group depends on no beta."""
        voted = self._function(self._voted)
        of_entries, whole = voted.means()
        known = tuple((entry.beta is None, tuple(map(self._alone, entry.groups))) for entry in self._entries)
        of_single, whole_single = kept.get((known, self._low, SINGLE), self._function(self._single).means)
        coinciding = voted.coinciding()
        entries = tuple(
            entry if entry.beta is None else replace(entry, measured=_measured(*parts))
            for entry, *parts in zip(self._entries, of_entries, of_single, coinciding, strict=True)
        )
        return OverTime(entries, _cases(whole, whole_single), Band(float(whole[3]), float(whole[4])))

    def _alone(self, group: GroupResult) -> Hashable:
        """What the result with a single channel in place of a group depends on."""
        if on_timeline(self._plant, self._editions, group.id):
            return group.id, group.voting
        return group.id, *(found and found.cases.single for found in (group.low, group.high))

    def _function(self, of_entry: Callable[[Entry], timed.Entry]) -> timed.Function:
        mission = timed_groups.mission(self._plant)
        return timed.Function([of_entry(entry) for entry in self._entries], mission, low=self._low)

    def _voted(self, entry: Entry) -> timed.Entry:
        shared = entry.beta or 0.0
        parts = (self._part(group, group.pairs, COLUMNS) for group in entry.groups)
        return timed.Entry(tuple(parts), np.array([0.0, *[shared] * (len(COLUMNS) - 1)]))

    def _single(self, entry: Entry) -> timed.Entry:
        """One channel in place of the group; of alternatives the best one is left."""
        best = entry.groups[0]
        if len(entry.groups) > 1:
            best = min(entry.groups, key=lambda group: group.measured("pfd" if self._low else "pfh").cases.single)
        return timed.Entry((self._part(best, ((0.0, 0.0),), ("single",), SINGLE),))

    def _part(
        self,
        group: GroupResult,
        pairs: Sequence[tuple[float, float]],
        columns: Sequence[str],
        voting: Voting | None = None,
    ) -> timed.Part:
        if not on_timeline(self._plant, self._editions, group.id):
            return timed.Part(None, (_constant(group.low, columns), _constant(group.high, columns)))
        beta, beta_d = np.array(pairs).T
        built = input_of(self._plant, self._editions, group.id, group.voting)
        return part(built if voting is None else built.voted(voting), beta, beta_d)


def input_of(
    plant: Plant, editions: Editions, group: str, voting: Voting, *, factors: Factors | None = None
) -> GroupOverTime:
    """A group on the timeline with a voting, with the clock of each test; ``factors`` multiply the rates of devices."""
    return cast("GroupOverTime", voted_for(editions, plant, group, voting, factors=factors))


def times(plant: Plant, editions: Editions, groups: Sequence[GroupResult]) -> int:
    """At how many times groups are evaluated together; 0 where none is on the timeline."""
    over = (group for group in groups if on_timeline(plant, editions, group.id))
    parts = [part(input_of(plant, editions, group.id, group.voting), 0.0, 0.0) for group in over]
    return (
        timed.Function([timed.Entry((each,)) for each in parts], timed_groups.mission(plant), low=True).times
        if parts
        else 0
    )


def part(built: GroupOverTime, beta: Fractions, beta_d: Fractions) -> timed.Part:
    """A group on the timeline as a part of a function, with one or more pairs of betas."""
    none = np.zeros((1, 1))
    return timed.Part(built.with_betas(beta, beta_d), (none, none), not built.acts_on_detected)


def _constant(measured: Measured | None, columns: Sequence[str]) -> Array:
    """What another method says of a group in each column; never down where its result is not stated."""
    if measured is None or measured.band is None:
        return np.zeros((1, len(columns)))
    ends = {"optimistic": measured.band.optimistic, "pessimistic": measured.band.pessimistic}
    return np.array([[ends[each] if each in ends else getattr(measured.cases, each) for each in columns]])


def _cases(mean: Array, single: Array) -> Cases:
    return Cases(float(single[0]), *(float(value) for value in mean[:3]))


def _measured(mean: Array, single: Array, coinciding: Array) -> Measured:
    """Alternatives: what has all of them down at the same time, and what they share with each other."""
    splits = [Split(float(coinciding[at]), float(mean[at] - coinciding[at])) for at in (1, 2)]
    return Measured(_cases(mean, single), splits[0], splits[1], Band(float(mean[3]), float(mean[4])))
