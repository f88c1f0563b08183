"""The cheapest set of actions after which every function meets its target: the programme, checked by the real calculation."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import fsum, gcd, lcm

from scoring.improvement import pieces
from scoring.improvement.linear import Found
from scoring.improvement.pieces import Lines
from scoring.improvement.problem import Problem
from scoring.improvement.programme import Programme

TIED = 1e-7
"""Efforts that differ by less than this share of the largest one count as equal."""
LEAST_SHARE = 1e-4
"""Least weight of an action beside the largest effort that the solver tells apart from rounding."""
IN_ONE_GO = 16
"""Actions whose order by id one solution settles, with weights that are powers of two."""
FINEST = 1e-9
"""Least length of a piece of exposure."""
KEPT = 0.25
"""Share of the time that the programme leaves for a set without proof."""
MOST_ROUNDS = 100
"""Sets that the programme may find and the real calculation refuse before the search ends without proof."""

Failing = Callable[[frozenset[int]], frozenset[int]]
"""The functions, by index, that miss their target after a set of actions by the real calculation."""


@dataclass(frozen=True, slots=True)
class Cheapest:
    """A set of actions by index, None where none is enough. ``bound``: no set that passes takes less effort.

    ``proven``: no other set passes with less effort, nor with as much and fewer actions, nor with as many and earlier ids; for
    None, that no set passes.
    """

    actions: frozenset[int] | None
    proven: bool
    bound: float


class NotProven(Exception):
    """The solver ran out of time or rounds; ``bound`` is a lower bound of the objective, ``best`` a set that passes, if known."""

    def __init__(self, bound: float, best: frozenset[int] | None = None) -> None:
        super().__init__(f"no proof, bound {bound:g}")
        self.bound, self.best = bound, best


@dataclass
class Search:
    """The programme with what is known of it: limits of the pieces, sets that failed, and what earlier objectives fixed."""

    problem: Problem
    failing: Failing
    left: Callable[[], float]
    rounds: int = MOST_ROUNDS
    limits: list[tuple[float, ...]] = field(default_factory=list)
    lines: Lines = field(default_factory=dict)
    failed: list[tuple[frozenset[int], frozenset[int]]] = field(default_factory=list)
    fixed: list[tuple[dict[int, float], float]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.limits = [pieces.breaks(self.problem, group) for group in self.problem.groups]
        self.programme = self._built()

    def best(self, weights: Mapping[int, float]) -> frozenset[int] | None:
        """The set of actions with the least weight that passes; None where there is none. Raises NotProven."""
        while True:
            seconds = self.left()
            if seconds <= 0.0:
                raise NotProven(0.0)
            found = self.programme.solve(weights, seconds)
            if not found.proven:
                raise NotProven(found.bound, self._passing(found))
            if found.columns is None:
                return None
            actions = self.programme.taken(found.columns)
            failing = self.failing(actions)
            if not failing:
                return actions
            self.rounds -= 1
            if not self.rounds:
                raise NotProven(found.bound)
            self._cut_off(actions, failing)

    def _passing(self, found: Found) -> frozenset[int] | None:
        """The set of a solution that is not proven, if it passes."""
        actions = None if found.columns is None else self.programme.taken(found.columns)
        return actions if actions is not None and not self.failing(actions) else None

    def fix(self, weights: dict[int, float], most: float) -> None:
        """Keep a weighted sum at ``most`` or below from now on."""
        self.fixed.append((weights, most))
        self.programme.at_most(weights, most)

    def _built(self) -> Programme:
        programme = Programme(self.problem, self.limits, self.lines)
        for actions, failing in self.failed:
            for function in failing:
                programme.not_again(actions, function)
        for weights, most in self.fixed:
            programme.at_most(weights, most)
        return programme

    def _cut_off(self, actions: frozenset[int], failing: frozenset[int]) -> None:
        """Exclude what fails as this set does, and cut the exposure of each group more finely where the set lies."""
        self.failed.append((actions, failing))
        for at, (_, _, exposed, _) in enumerate(self.problem.states(self.problem.mask(actions))):
            self.limits[at] = _finer(self.limits[at], float(exposed[0]))
        self.programme = self._built()


def _finer(limits: tuple[float, ...], exposed: float) -> tuple[float, ...]:
    """The limits of pieces with three more around an exposure."""
    place = bisect_right(limits, exposed)
    if not 0 < place < len(limits):
        return limits
    low, high = limits[place - 1], limits[place]
    more = {(low + exposed) / 2.0, exposed, (exposed + high) / 2.0}
    return tuple(sorted({*limits, *(each for each in more if low + FINEST < each < high - FINEST)}))


def cheapest(problem: Problem, failing: Failing, *, left: Callable[[], float]) -> Cheapest:
    """The cheapest set after which no function is ``failing``; of several the one with the fewest actions, then with the first ids.

    ``failing`` is the real calculation. ``left`` are the seconds that are left: it is asked before each solution of the programme.
    A part of them is kept to find some set that passes where the programme finds none.

    Source: mixed-integer programme with lazy cuts (derived); compared with all subsets in the tests.
    """
    if not failing(frozenset()):
        return Cheapest(frozenset(), proven=True, bound=0.0)
    if not problem.efforts:
        return Cheapest(None, proven=True, bound=0.0)
    reserve = KEPT * left()
    search, known = Search(problem, failing, lambda: left() - reserve), None
    largest = max(problem.efforts)
    efforts = {at: effort / largest for at, effort in enumerate(problem.efforts)}
    bound, share = 0.0, _share(problem.efforts)
    try:
        best = search.best({at: effort + share for at, effort in efforts.items()})
        if best is None:
            return Cheapest(None, proven=True, bound=0.0)
        known = best
        bound = fsum(problem.efforts[at] for at in known)
        known = _of_equal_effort(search, efforts, known, counted=share > 0.0)
    except NotProven as stopped:
        every = problem.fullest(range(len(problem.functions)))
        known = known or stopped.best or (None if failing(every) else _reduced(problem, every, failing, left))
        return Cheapest(known, proven=False, bound=bound or max((stopped.bound - share * len(efforts)) * largest, 0.0))
    return Cheapest(known, proven=True, bound=bound)


def _share(efforts: Sequence[float]) -> float:
    """A weight for each action, of the largest effort, that prefers fewer actions and outweighs no difference of efforts.

    Sums of efforts differ by at least their common unit. 0 where that is too small: then the actions are counted apart.
    """
    exact = [Fraction(repr(effort)) for effort in efforts]
    below = lcm(*(each.denominator for each in exact))
    unit = gcd(*(int(each * below) for each in exact)) / below
    share = unit / (2.0 * (len(efforts) + 1)) / max(efforts)
    return share if share > LEAST_SHARE else 0.0


def _of_equal_effort(
    search: Search, efforts: dict[int, float], known: frozenset[int], *, counted: bool
) -> frozenset[int]:
    """The set of equal effort with the fewest actions, then with the first ids; ``counted``: it has the fewest already."""
    search.fix(efforts, fsum(efforts[at] for at in known) + TIED)
    if not counted:
        known = search.best(dict.fromkeys(efforts, 1.0)) or known
    search.fix(dict.fromkeys(efforts, 1.0), float(len(known)))
    ids = sorted(efforts)
    for start in range(0, len(ids), IN_ONE_GO):
        part = ids[start : start + IN_ONE_GO]
        if not known.difference(ids[:start]):
            break  # the first ids are settled, and no others are taken
        known = search.best({at: -float(2 ** (len(part) - place - 1)) for place, at in enumerate(part)}) or known
        for at in part:
            sign = -1.0 if at in known else 1.0
            search.fix({at: sign}, min(sign, 0.0))
    return known


def _reduced(problem: Problem, actions: frozenset[int], failing: Failing, left: Callable[[], float]) -> frozenset[int]:
    """A set that passes, without actions it does not need, the most expensive left out first, as far as the time goes."""
    for at in sorted(actions, key=lambda at: -problem.efforts[at]):
        if left() <= 0.0:
            break
        fewer = actions - {at}
        if problem.meets(problem.mask(fewer))[0] and not failing(fewer):
            actions = fewer
    return actions
