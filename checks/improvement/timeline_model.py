"""A function on the timeline in the model: its result from the states of its groups, and terms whose sum is never above it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from itertools import accumulate, pairwise

import numpy as np

from checks.assessment import over_time
from checks.assessment.assessment import Assessment
from checks.assessment.results import Entry
from checks.assessment.verdicts import Case
from checks.improvement.group_model import GroupModel
from checks.plantfile.plant import VotedOtherwise
from checks.timeline import timed_groups
from scoring.improvement.problem import Chosen, Floats, State, Sum, Term, Value
from scoring.redundancy.group_over_time import GroupOverTime
from scoring.timeline import function as timed
from scoring.timeline.below import Below, Worst
from scoring.units import Fractions
from scoring.voting import Voting

AT_ONCE = 256
"""States that are calculated at once."""
ARRAYS = 4
"""Arrays of one state."""
Places = Mapping[str, tuple[int, GroupModel]]
"""Each group with its index."""


def function(assessment: Assessment, name: str, places: Places, case: Case, limit: float) -> Sum:
    """A function with a group on the timeline."""
    return _Model(assessment, name, places, case).sum(limit)


class _Model:
    """Parts of a function from states of their groups."""

    def __init__(self, assessment: Assessment, name: str, places: Places, case: Case) -> None:
        self._places, result = places, assessment.function(name)
        self._entries, self._low = result.entries, result.demand == "low"
        self._mission = timed_groups.mission(assessment.plant)
        entered = assessment.plant.functions[name].groups
        otherwise = [entry.voting if isinstance(entry, VotedOtherwise) else None for entry in entered]
        self._groups = [
            [_Group(places[group.id][1], voting, case) for group in entry.groups]
            for entry, voting in zip(self._entries, otherwise, strict=True)
        ]
        worst = [
            Worst(tuple(group.worst() for group in groups), entry.beta or 0.0)
            for entry, groups in zip(self._entries, self._groups, strict=True)
        ]
        self._below = Below(worst, self._mission, low=self._low)

    def sum(self, limit: float) -> Sum:
        """The function with its terms."""
        terms = [
            Term(tuple(self._places[group.id][0] for group in entry.groups), _distinct(self._term(at, entry)))
            for at, entry in enumerate(self._entries)
        ]
        return Sum(tuple(terms), limit, _distinct(self._whole))

    def _term(self, at: int, entry: Entry) -> Value:
        def value(states: Sequence[State]) -> Floats:
            parts = tuple(group.part(state) for group, state in zip(self._groups[at], states, strict=True))
            return self._below.mean(at, timed.Entry(parts, entry.beta or 0.0), values=len(states[0][0]))

        return value

    def _whole(self, states: Sequence[State]) -> Floats:
        """The result of the function from the states of all its groups, entry by entry."""
        ends = list(accumulate(map(len, self._groups), initial=0))
        entries = [
            timed.Entry(
                tuple(group.part(state) for group, state in zip(groups, states[start:end], strict=True)),
                entry.beta or 0.0,
            )
            for groups, entry, (start, end) in zip(self._groups, self._entries, pairwise(ends), strict=True)
        ]
        _, whole = timed.Function(entries, self._mission, low=self._low).means()
        return np.broadcast_to(whole, states[0][0].shape)


class _Group:
    """A group as a function votes it: ``voting``, or where that is None as its changes have it."""

    def __init__(self, model: GroupModel, voting: Voting | None, case: Case) -> None:
        self._model, self._voting, self._case = model, voting, case
        self._built = cache(self._of_option)

    def part(self, state: State) -> timed.Part:
        """The group from states that have one option in common."""
        at = int(state[3][0])
        _, assessment = self._model.options[at]
        if assessment.on_timeline(self._model.key):
            return over_time.part(self._built(at), *self._model.betas(assessment, self._votes(assessment))(state))
        result, none = assessment.voted(self._model.key, self._voting), np.zeros((1, len(state[0])))
        low = none if result.low is None else self._model.value("pfd", self._voting)([state])[None]
        high = none if result.high is None else self._model.value("pfh", self._voting)([state])[None]
        return timed.Part(None, (low, high))

    def worst(self) -> tuple[timed.Part, ...]:
        """The group in each option with the betas of now, which answers only lower; the largest PFD of one that is constant."""
        return tuple(self._worst(at, assessment) for at, (_, assessment) in enumerate(self._model.options))

    def _worst(self, at: int, assessment: Assessment) -> timed.Part:
        if assessment.on_timeline(self._model.key):
            return over_time.part(self._built(at), *self._betas_now(assessment))
        measured = assessment.voted(self._model.key, self._voting).low
        split = measured and (measured.scored if self._case == "scored" else measured.adjusted)
        most = 0.0 if measured is None else measured.cases.ideal + (float(split.shared) if split else 0.0)
        return timed.Part(None, (np.array([[most]]), np.zeros((1, 1))))

    def _betas_now(self, assessment: Assessment) -> tuple[float, float]:
        key = self._model.key
        betas = assessment.calculation(key, self._votes(assessment)).betas(assessment.claims(key))
        if betas is None:
            return 0.0, 0.0
        adjusted = self._case == "adjusted"
        return (betas.beta_adjusted, betas.beta_d_adjusted) if adjusted else (betas.beta, betas.beta_d)

    def _votes(self, assessment: Assessment) -> Voting:
        return self._voting or assessment.plant.groups[self._model.key].voted

    def _of_option(self, at: int) -> GroupOverTime:
        _, assessment = self._model.options[at]
        return over_time.input_of(assessment.plant, assessment.editions, self._model.key, self._votes(assessment))


def _distinct(value: Value) -> Value:
    """The same, calculated once for each combination of states, so many at once, and kept."""
    known: dict[tuple[Fractions, ...], float] = {}

    def of(states: Sequence[State]) -> Floats:
        keys = list(zip(*(part.tolist() for state in states for part in state), strict=True))
        new = [key for key in dict.fromkeys(keys) if key not in known]
        for start in range(0, len(new), AT_ONCE):
            block = new[start : start + AT_ONCE]
            columns = np.array(block, dtype=float).T
            found = _by_option(value, [_state(columns[at : at + ARRAYS]) for at in range(0, len(columns), ARRAYS)])
            known.update(zip(block, np.asarray(found).tolist(), strict=True))
        return np.array([known[key] for key in keys])

    return of


def _by_option(value: Value, states: Sequence[State]) -> Floats:
    """A value of each choice of options on its own; infinite for changes that exclude each other."""
    result = np.full(states[0][0].shape, np.inf)
    options = np.array([state[3] for state in states])
    for chosen in np.unique(options, axis=1).T:
        if (chosen >= 0).all():
            inside = (options == chosen[:, None]).all(axis=0)
            result[inside] = value([_where(inside, state) for state in states])
    return result


def _where(inside: Chosen, state: State) -> State:
    s, s_d, exposed, option = state
    return s[inside], s_d[inside], exposed[inside], option[inside]


def _state(columns: Floats) -> State:
    s, s_d, exposed, option = columns
    return s.astype(np.int64), s_d.astype(np.int64), exposed, option.astype(np.int64)
