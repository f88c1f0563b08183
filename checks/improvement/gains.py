"""What each action gains: alone, and in the best pair or triple that reaches a better score band or the target."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from checks.assessment.assessment import MOVES
from checks.improvement.model import Model
from scoring.improvement.problem import Chosen, Floats, Sum

MOST_WITH_POINTS, MOST_BY_GAIN = 24, 16
"""Actions from which pairs and triples are formed: those with the most points of a group, those that gain most alone."""


@dataclass(frozen=True, slots=True)
class Gain:
    """PFDavg or PFH [1/h] of a function before and after some actions. ``actions`` are indices of the model."""

    function: str
    demand: str
    before: float
    after: float
    actions: frozenset[int]

    @property
    def factor(self) -> float:
        """Factor by which the result improves."""
        return self.before / self.after

    @property
    def moves(self) -> bool:
        """Whether the result improves by the smallest change that is reported."""
        return self.factor - 1.0 >= MOVES


def alone(model: Model) -> list[Gain | None]:
    """For each action the function that it improves most; None where it improves none by one per cent."""
    return [gain if gain is not None and gain.moves else None for gain in largest(model)]


def largest(model: Model) -> list[Gain | None]:
    """For each action the function that it improves most, however little; None without functions."""
    count = len(model.actions)
    chosen = np.vstack([np.zeros((1, count), dtype=bool), np.eye(count, dtype=bool)])
    results = model.problem.results(chosen)
    best: list[Gain | None] = []
    for at in range(count):
        gains = [_gain(model, name, row[0], row[at + 1], frozenset([at])) for name, row in enumerate(results)]
        best.append(max(gains, key=lambda each: each.factor, default=None))
    return best


def together(model: Model) -> list[Gain | None]:
    """For each action the best pair or triple with it, of those that reach a better band or the target only together."""
    best: list[Gain | None] = [None] * len(model.actions)
    for gain in _combined(model):
        for at in gain.actions:
            known = best[at]
            if known is None or _rank(model, gain) < _rank(model, known):
                best[at] = gain
    return best


def _rank(model: Model, gain: Gain) -> tuple[float, float, int, list[int]]:
    effort = sum(model.problem.efforts[at] for at in gain.actions)
    return -gain.factor, effort, len(gain.actions), sorted(gain.actions)


def _combined(model: Model) -> Iterator[Gain]:
    """Gains of the pairs and triples that reach a better band of a group, or the target of a function."""
    for at, function in enumerate(model.problem.functions):
        pools = {group: _pool(model, group) for term in function.terms for group in term.groups}
        wanted = [each for group, pool in pools.items() for each in _crossing(model, group, pool)]
        wanted += _reaching(model, function, {each for pool in pools.values() for each in pool})
        if wanted:
            results = _results(model, function, [frozenset(), *wanted])
            for actions, after in zip(wanted, results[1:], strict=True):
                gain = _gain(model, at, results[0], after, actions)
                if gain.moves:
                    yield gain


def _pool(model: Model, group: int) -> list[int]:
    """Actions that give a group most points, the first ids first."""
    points: dict[int, float] = {}
    for row in model.problem.groups[group].rows:
        for actions in row.condition:
            for each in actions:
                points[each] = points.get(each, 0.0) + row.x + row.y
    return sorted(sorted(points, key=lambda each: (-points[each], each))[:MOST_WITH_POINTS])


def _crossing(model: Model, group: int, pool: Sequence[int]) -> list[frozenset[int]]:
    """Pairs and triples with which S or S_D of a group reaches a better band, and with none of their actions less."""
    sets = _sets(pool)
    states = model.problem.groups[group].state(model.problem.mask(frozenset(), *sets))
    wanted: dict[frozenset[int], None] = {}
    for bands in states[:2]:
        wanted |= dict.fromkeys(_least(sets, bands[1:] > bands[0]))
    return list(wanted)


def _reaching(model: Model, function: Sum, pool: Iterable[int]) -> list[frozenset[int]]:
    """Pairs and triples with which a function meets its target, and with none of their actions less."""
    ordered = sorted(pool | _touching(model, function) if isinstance(pool, set) else pool)
    if not ordered:
        return []
    results = _results(model, function, [frozenset(), *(frozenset([each]) for each in ordered)])
    if results[0] <= function.limit:
        return []
    order = sorted(range(len(ordered)), key=lambda at: (results[at + 1], ordered[at]))
    sets = _sets(sorted(ordered[at] for at in order[:MOST_BY_GAIN]))
    return _least(sets, _results(model, function, sets) <= function.limit)


def _touching(model: Model, function: Sum) -> set[int]:
    return {each for term in function.terms for group in term.groups for each in model.problem.groups[group].actions}


def _sets(pool: Sequence[int]) -> list[frozenset[int]]:
    """All single actions, pairs and triples."""
    return [frozenset(each) for size in (1, 2, 3) for each in combinations(pool, size)]


def _least(sets: Sequence[frozenset[int]], reached: Chosen) -> list[frozenset[int]]:
    """Pairs and triples that reach something which no smaller set in them reaches."""
    enough = {actions for actions, yes in zip(sets, reached.tolist(), strict=True) if yes}
    return [
        actions
        for actions in sets
        if len(actions) > 1
        and actions in enough
        and not any(
            frozenset(part) in enough for size in range(1, len(actions)) for part in combinations(actions, size)
        )
    ]


def _results(model: Model, function: Sum, sets: Sequence[frozenset[int]]) -> Floats:
    """Results of one function after each set of actions."""
    return model.problem.result(function, model.problem.mask(*sets))


def _gain(model: Model, at: int, before: float, after: float, actions: frozenset[int]) -> Gain:
    name = model.functions[at]
    return Gain(name, model.assessment.plant.functions[name].demand, float(before), float(after), actions)
