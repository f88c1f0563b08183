"""A function on the timeline in the model: its result from the states of its groups, and terms whose sum is never above it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import accumulate, pairwise

import numpy as np

from checks.assessment import over_time
from checks.assessment.assessment import Assessment
from checks.assessment.results import Entry, GroupResult
from checks.assessment.verdicts import Case
from checks.improvement.group_model import Betas, GroupModel
from checks.timeline import timed_groups
from scoring.improvement.problem import Floats, State, Sum, Term, Value
from scoring.timeline import function as timed
from scoring.timeline.below import Below
from scoring.units import Fractions

AT_ONCE = 256
"""States that are calculated at once."""
Places = Mapping[str, tuple[int, GroupModel]]
"""Each group with its index."""
PartOf = Callable[[State], timed.Part]


def function(assessment: Assessment, name: str, places: Places, case: Case, limit: float) -> Sum:
    """A function with a group on the timeline."""
    return _Model(assessment, name, places, case).sum(limit)


class _Model:
    """Parts of a function from states of their groups."""

    def __init__(self, assessment: Assessment, name: str, places: Places, case: Case) -> None:
        self._assessment, self._places = assessment, places
        result = assessment.function(name)
        self._entries, self._low = result.entries, result.demand == "low"
        self._mission = timed_groups.mission(assessment.plant)
        self._parts = [[self._part(group) for group in entry.groups] for entry in self._entries]
        at = 1 if case == "scored" else 2
        highest = [
            timed.Entry(tuple(self._highest(group, at) for group in entry.groups), entry.beta or 0.0)
            for entry in self._entries
        ]
        self._below = Below(highest, self._mission, low=self._low)

    def sum(self, limit: float) -> Sum:
        """The function with its terms."""
        terms = [
            Term(tuple(self._places[group.id][0] for group in entry.groups), _distinct(self._term(at, entry)))
            for at, entry in enumerate(self._entries)
        ]
        return Sum(tuple(terms), limit, _distinct(self._whole))

    def _term(self, at: int, entry: Entry) -> Value:
        def value(states: Sequence[State]) -> Floats:
            parts = tuple(of(state) for of, state in zip(self._parts[at], states, strict=True))
            return self._below.mean(at, timed.Entry(parts, entry.beta or 0.0), values=len(states[0][0]))

        return value

    def _whole(self, states: Sequence[State]) -> Floats:
        """The result of the function from the states of all its groups, entry by entry."""
        ends = list(accumulate((len(parts) for parts in self._parts), initial=0))
        entries = [
            timed.Entry(tuple(of(state) for of, state in zip(parts, states[start:end], strict=True)), entry.beta or 0.0)
            for parts, entry, (start, end) in zip(self._parts, self._entries, pairwise(ends), strict=True)
        ]
        _, whole = timed.Function(entries, self._mission, low=self._low).means()
        return np.broadcast_to(whole, states[0][0].shape)

    def _part(self, group: GroupResult) -> PartOf:
        """A group of the function from its state, as the function votes it."""
        _, model = self._places[group.id]
        if self._assessment.on_timeline(group.id):
            built = over_time.input_of(self._assessment.plant, self._assessment.editions, group)
            betas: Betas = model.betas(group.voting)
            return lambda state: over_time.part(built, *betas(state))
        low, high = (model.value(measure, group.voting) if found else None for measure, found in _measures(group))

        def constant(state: State) -> timed.Part:
            none = np.zeros((1, len(state[0])))
            return timed.Part(
                None, (none if low is None else low([state])[None], none if high is None else high([state])[None])
            )

        return constant

    def _highest(self, group: GroupResult, at: int) -> timed.Part:
        """A group with the betas of now, which actions only lower; the largest PFD of one that is constant."""
        if self._assessment.on_timeline(group.id):
            built = over_time.input_of(self._assessment.plant, self._assessment.editions, group)
            return over_time.part(built, *group.pairs[at])
        found = None if group.low is None else group.low
        most = 0.0
        if found is not None:
            split = found.scored if at == 1 else found.adjusted
            shared = 0.0 if split is None else float(np.asarray(split.shared))
            most = found.cases.ideal + shared
        highest = np.array([[most]])
        return timed.Part(None, (highest, np.zeros((1, 1))))


def _measures(group: GroupResult) -> tuple[tuple[str, object], ...]:
    return (("pfd", group.low), ("pfh", group.high))


def _distinct(value: Value) -> Value:
    """The same, calculated once for each combination of states, so many at once, and kept."""
    known: dict[tuple[Fractions, ...], float] = {}

    def of(states: Sequence[State]) -> Floats:
        keys = list(zip(*(part.tolist() for state in states for part in state), strict=True))
        new = [key for key in dict.fromkeys(keys) if key not in known]
        for start in range(0, len(new), AT_ONCE):
            block = new[start : start + AT_ONCE]
            columns = np.array(block, dtype=float).T
            found = value([_state(columns[at : at + 3]) for at in range(0, len(columns), 3)])
            known.update(zip(block, np.asarray(found).tolist(), strict=True))
        return np.array([known[key] for key in keys])

    return of


def _state(columns: Floats) -> State:
    s, s_d, exposed = columns
    return s.astype(np.int64), s_d.astype(np.int64), exposed
