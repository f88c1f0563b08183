"""Actions, the groups whose score and exposure they change, and the functions that rest on these groups.

An action is an index; ``chosen`` is an array of truth values, shape (sets of actions, actions).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import expm1, log1p

import numpy as np
from numpy.typing import NDArray

Condition = tuple[frozenset[int], ...]
"""Alternatives, each a set of actions: the condition holds where all actions of one alternative are taken; never where none is given."""
MET: Condition = (frozenset(),)
"""The condition of what is met already."""
Chosen = NDArray[np.bool_]
Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
State = tuple[Indices, Indices, Floats, Indices]
"""Bands of S and of S_D by index, worst first, exposure as -ln(1 - g), and option by index; four arrays of one shape.

An option is a choice of changes of the group; -1 stands for changes that exclude each other.
"""


MOST_EXPOSED = 0.99
"""Largest exposure of one topic whose class value is varied."""


def holds(condition: Condition, chosen: Chosen) -> Chosen:
    """Whether a condition holds for each set of actions."""
    result = np.zeros(len(chosen), dtype=bool)
    for actions in condition:
        result |= chosen[:, sorted(actions)].all(axis=1)
    return result


def actions_in(condition: Condition) -> frozenset[int]:
    """All actions that a condition names."""
    return frozenset().union(*condition)


@dataclass(frozen=True, slots=True)
class ScoredRow:
    """A row of the questionnaire with its points; of rows with the same ``alternatives`` only the best met one counts."""

    x: float
    y: float
    alternatives: str | None
    condition: Condition


@dataclass(frozen=True, slots=True)
class ExposedTopic:
    """An unmet security topic of a weight; ``amount`` is -ln(1 - c a), which adds up over topics to -ln(1 - g)."""

    amount: float
    condition: Condition
    weight: int

    def scaled(self, factor: float) -> ExposedTopic:
        """The same with its class value c times a factor, at most nearly 1."""
        return replace(self, amount=-log1p(-min(MOST_EXPOSED, -expm1(-self.amount) * factor)))


@dataclass(frozen=True)
class GroupInputs:
    """What decides the result of a group: rows, lower limits of the score bands, diagnostic credit Z, unmet topics, options.

    Without rows there is one band. An option is a set of actions that change the group; the first one is none. Sets of changes
    that are no option exclude each other.
    """

    rows: tuple[ScoredRow, ...]
    limits: tuple[float, ...]
    credit: float
    topics: tuple[ExposedTopic, ...]
    options: tuple[frozenset[int], ...] = (frozenset(),)

    @cached_property
    def actions(self) -> frozenset[int]:
        """Actions that can change the group."""
        conditions = [*(row.condition for row in self.rows), *(topic.condition for topic in self.topics)]
        return frozenset().union(self.changes, *map(actions_in, conditions))

    @cached_property
    def changes(self) -> frozenset[int]:
        """Actions that are changes of the group."""
        return frozenset().union(*self.options)

    def option(self, chosen: Chosen) -> Indices:
        """The option after each set of actions; -1 where its changes exclude each other."""
        place = {action: 1 << at for at, action in enumerate(sorted(self.changes))}
        known = np.full(1 << len(place), -1, dtype=np.int64)
        for at, actions in enumerate(self.options):
            known[sum(place[each] for each in actions)] = at
        return known[chosen[:, list(place)] @ np.array(list(place.values()), dtype=np.int64)]

    def scores(self, chosen: Chosen) -> tuple[Floats, Floats]:
        """S = X + Y and S_D = X (Z + 1) + Y after each set of actions."""
        x, y = np.zeros(len(chosen)), np.zeros(len(chosen))
        taken: dict[str, Chosen] = {}
        for row in sorted(self.rows, key=lambda row: -(row.x + row.y)):
            counts = holds(row.condition, chosen)
            if row.alternatives is not None:
                before = taken.get(row.alternatives, np.zeros(len(chosen), dtype=bool))
                counts, taken[row.alternatives] = counts & ~before, counts | before
            x, y = x + row.x * counts, y + row.y * counts
        return x + y, x * (self.credit + 1.0) + y

    def state(self, chosen: Chosen) -> State:
        """Bands, exposure and option after each set of actions."""
        exposed, option = np.zeros(len(chosen)), self.option(chosen)
        for topic in self.topics:
            exposed = exposed + topic.amount * ~holds(topic.condition, chosen)
        if not self.rows:
            none = np.zeros(len(chosen), dtype=np.int64)
            return none, none, exposed, option
        s, s_d = (np.searchsorted(self.limits, points, side="right") - 1 for points in self.scores(chosen))
        return s, s_d, exposed, option


Value = Callable[[Sequence[State]], Floats]
"""PFDavg [-] or PFH [1/h] of an entry of a function, from the states of its groups; infinite for changes that exclude each other."""


@dataclass(frozen=True, slots=True)
class Term:
    """An entry of a function: the groups by index, and its result from their states."""

    groups: tuple[int, ...]
    value: Value


@dataclass(frozen=True, slots=True)
class Sum:
    """A function: the sum of its terms, and the largest PFDavg or PFH that meets its target.

    ``whole`` is given where the sum is only a bound that the result never lies below: it is the result, from the states of its groups
    term by term.
    """

    terms: tuple[Term, ...]
    limit: float
    whole: Value | None = None

    def result(self, states: Mapping[int, State] | Sequence[State]) -> Floats:
        """PFDavg or PFH from the states of groups by index."""
        if self.whole is not None:
            return self.whole([states[at] for term in self.terms for at in term.groups])
        return np.asarray(np.sum([term.value([states[at] for at in term.groups]) for term in self.terms], axis=0))

    @property
    def groups(self) -> frozenset[int]:
        """Its groups by index."""
        return frozenset(at for term in self.terms for at in term.groups)


@dataclass(frozen=True)
class Problem:
    """Actions with their efforts, groups, and functions that should meet their targets."""

    efforts: tuple[float, ...]
    groups: tuple[GroupInputs, ...]
    functions: tuple[Sum, ...]

    def states(self, chosen: Chosen) -> list[State]:
        """State of each group after each set of actions."""
        return [group.state(chosen) for group in self.groups]

    def result(self, function: Sum, chosen: Chosen) -> Floats:
        """PFDavg or PFH of one function after each set of actions."""
        return function.result({at: self.groups[at].state(chosen) for at in function.groups})

    def results(self, chosen: Chosen) -> Floats:
        """PFDavg or PFH of each function after each set of actions, shape (functions, sets)."""
        states = self.states(chosen)
        results = [function.result(states) for function in self.functions]
        return np.array(results).reshape(len(self.functions), len(chosen))

    def meets(self, chosen: Chosen) -> Chosen:
        """Whether every function meets its target, within rounding, after each set of actions."""
        limits = np.array([function.limit for function in self.functions])
        return np.asarray((self.results(chosen) <= limits[:, None] * (1.0 + 1e-9)).all(axis=0))

    def with_class_value(self, weight: int, factor: float) -> Problem:
        """The problem with the class value of one weight of topics times a factor."""
        groups = (
            replace(group, topics=tuple(t.scaled(factor) if t.weight == weight else t for t in group.topics))
            for group in self.groups
        )
        return replace(self, groups=tuple(groups))

    def fullest(self, functions: Sequence[int]) -> frozenset[int]:
        """All answers met, and of each group the option after which some functions are best, each as a share of its limit."""
        chosen = frozenset(range(len(self.efforts))) - frozenset().union(*(group.changes for group in self.groups))
        for at, group in enumerate(self.groups):
            using = [self.functions[one] for one in functions if at in self.functions[one].groups]
            if len(group.options) > 1 and using:
                sets = [chosen | option for option in group.options]
                shares = [self.result(function, self.mask(*sets)) / function.limit for function in using]
                chosen = sets[int(np.sum(shares, axis=0).argmin())]
        return chosen

    def possible(self, actions: frozenset[int]) -> bool:
        """Whether no changes among some actions exclude each other."""
        mask = self.mask(actions)
        return all(group.option(mask)[0] >= 0 for group in self.groups if group.changes & actions)

    def mask(self, *sets: frozenset[int]) -> Chosen:
        """Sets of actions as an array."""
        chosen = np.zeros((len(sets), len(self.efforts)), dtype=bool)
        for at, actions in enumerate(sets):
            chosen[at, sorted(actions)] = True
        return chosen
