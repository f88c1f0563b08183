"""The cheapest set in pure numbers: ties, and what is said where the solver gives up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from scoring.improvement.cheapest import cheapest
from scoring.improvement.linear import Found
from scoring.improvement.problem import ExposedTopic, Floats, GroupInputs, Problem, ScoredRow, State, Sum, Term
from scoring.improvement.programme import Programme

POINTS = (4.0, 3.0, 3.0, 2.0)
"""Points of four actions; the better band begins at 5."""


def _problem(*efforts: float) -> Problem:
    rows = tuple(ScoredRow(points, 0.0, None, (frozenset([at]),)) for at, points in enumerate(POINTS))

    def value(states: Sequence[State]) -> Floats:
        return np.where(states[0][0] >= 1, 1.0, 2.0)

    return Problem(efforts, (GroupInputs(rows, (0.0, 5.0), 0.0, ()),), (Sum((Term((0,), value),), 1.5),))


def _passes(problem: Problem, actions: frozenset[int]) -> bool:
    return bool(problem.meets(problem.mask(actions))[0])


def _failing(*, passes: bool) -> frozenset[int]:
    """The one function of a problem where a set does not pass."""
    return frozenset() if passes else frozenset({0})


@pytest.mark.parametrize(
    ("efforts", "best"),
    [
        ((1.0, 1.0, 1.0, 1.0), {0, 1}),
        ((3.0, 1.0, 1.0, 1.0), {1, 2}),
        ((2.0, 2.0, 2.0, 1.0), {0, 3}),
        ((0.1, 0.2, 0.3, 0.3), {0, 1}),
        ((1.0, 0.5, 0.5, 0.5), {1, 2}),
        ((9.0, 4.0, 5.0, 1.0), {1, 3}),
        ((0.0001, 7.0, 7.0, 7.0), {0, 1}),
    ],
)
def test_the_least_effort_then_the_fewest_then_the_first(efforts: tuple[float, ...], best: set[int]) -> None:
    """Worked by hand: two actions with five points or more; {1, 3} has exactly five."""
    problem = _problem(*efforts)
    found = cheapest(problem, lambda actions: _failing(passes=_passes(problem, actions)), left=lambda: 10.0)
    assert (found.actions, found.proven) == (frozenset(best), True)
    assert found.bound == pytest.approx(sum(efforts[at] for at in best))


def test_a_solver_that_gives_up_leaves_a_set_that_passes_and_says_how_far_it_may_be_off(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(Programme, "solve", lambda *_: Found(None, proven=False, bound=0.4))
    problem = _problem(5.0, 1.0, 1.0, 1.0)
    found = cheapest(problem, lambda actions: _failing(passes=_passes(problem, actions)), left=lambda: 1.0)
    assert found.actions is not None
    assert _passes(problem, found.actions)
    assert not found.proven
    assert 0.0 <= found.bound <= 2.0
    nothing = cheapest(problem, lambda actions: _failing(passes=False), left=lambda: 1.0)  # noqa: ARG005  (nothing passes)
    assert (nothing.actions, nothing.proven) == (None, False)


def test_a_set_that_the_real_calculation_refuses_is_cut_off() -> None:
    """The exposure of topics is at most 0.75 after any action of 0.45 or more; the real calculation wants three of them."""
    topics = tuple(ExposedTopic(amount, (frozenset([at]),), 1) for at, amount in enumerate((0.4, 0.3, 0.3, 0.2)))
    term = Term((0,), lambda states: states[0][2])
    problem = Problem((1.0,) * 4, (GroupInputs((), (0.0,), 0.0, topics),), (Sum((term,), 0.75),))
    found = cheapest(problem, lambda actions: _failing(passes={1, 2, 3} <= actions), left=lambda: 10.0)
    assert (found.actions, found.proven) == (frozenset({1, 2, 3}), True)


def test_a_state_that_the_real_calculation_refuses_is_cut_off_with_every_set_that_leads_to_it() -> None:
    """Of 2048 sets none passes: the result of the better band is above the target by less than rounding of the programme."""
    calls: list[frozenset[int]] = []
    rows = tuple(ScoredRow(5.0, 0.0, None, (frozenset([at]),)) for at in range(11))
    term = Term((0,), lambda states: np.where(states[0][0] >= 1, 1.0 + 1e-9, 2.0))
    problem = Problem((1.0,) * 11, (GroupInputs(rows, (0.0, 5.0), 0.0, ()),), (Sum((term,), 1.0),))

    def failing(actions: frozenset[int]) -> frozenset[int]:
        calls.append(actions)
        return frozenset({0})

    found = cheapest(problem, failing, left=lambda: 10.0)
    assert (found.actions, found.proven) == (None, True)
    assert len(calls) == 2


@pytest.mark.parametrize("steps", range(1, 9))
def test_where_the_time_is_over_the_set_passes_and_is_not_called_proven(steps: int) -> None:
    """A clock that ends after some questions: however far the search came, the set passes and the bound holds."""
    problem = _problem(5.0, 1.0, 1.0, 1.0)
    asked = iter([*[1.0] * steps, *[-1.0] * 1000])
    found = cheapest(problem, lambda actions: _failing(passes=_passes(problem, actions)), left=lambda: next(asked))
    assert found.actions is not None
    assert _passes(problem, found.actions)
    effort = sum(problem.efforts[at] for at in found.actions)
    assert found.bound <= 2.0 <= effort + 1e-9
    assert not found.proven or effort == 2.0


def _changing() -> Problem:
    """One group with an answer (3 points, band from 3) and three changes, of which the last two exclude each other."""

    def value(states: Sequence[State]) -> Floats:
        s, _, _, option = states[0]
        by_option = np.array([4.0, 3.0, 2.0, 2.5, 1.0, 1.5])
        return np.where(option < 0, np.inf, by_option[option] - 0.9 * s)

    rows = (ScoredRow(3.0, 0.0, None, (frozenset([0]),)),)
    options = tuple(map(frozenset, ((), (1,), (2,), (3,), (1, 2), (1, 3))))
    group = GroupInputs(rows, (0.0, 3.0), 0.0, (), options)
    return Problem((1.0, 1.0, 3.0, 2.0), (group,), (Sum((Term((0,), value),), 1.6),))


@pytest.mark.parametrize(
    ("limit", "best"), [(2.0, {2}), (1.6, {0, 3}), (1.1, {0, 2}), (0.7, {0, 1, 3}), (0.15, {0, 1, 2})]
)
def test_changes_and_answers_together_with_options_worked_by_hand(limit: float, best: set[int]) -> None:
    """Efforts 1, 1, 3, 2. Results: 4, 3, 2, 2.5, 1, 1.5 for none, 1, 2, 3, 1+2, 1+3; less 0.9 with the answer."""
    problem = replace(_changing(), functions=(replace(_changing().functions[0], limit=limit),))
    every = [frozenset(each) for size in range(5) for each in combinations(range(4), size)]
    passing = [each for each in every if _passes(problem, each)]
    assert not any({2, 3} <= each for each in passing), "they exclude each other"
    assert best == min(passing, key=lambda each: (sum(problem.efforts[at] for at in each), len(each)))
    found = cheapest(problem, lambda actions: _failing(passes=_passes(problem, actions)), left=lambda: 10.0)
    assert (found.actions, found.proven) == (frozenset(best), True)
