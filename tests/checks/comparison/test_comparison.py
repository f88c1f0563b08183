"""Comparison of two states: facts that differ, results, and steps that add up to the total change."""

from __future__ import annotations

from math import isclose, log, prod

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checks.assessment.assessment import Assessment
from checks.comparison.comparison import FunctionChange, compare
from checks.comparison.differences import AnswerFact
from checks.plantfile.plant import Answer, Plant
from tests.checks.comparison.states import change, drawn, named_fact, state
from tests.checks.draws import answers

SOME = st.lists(answers(), min_size=1, max_size=12, unique_by=lambda answer: (answer.question, answer.of))


def _assert_adds_up(function: FunctionChange) -> None:
    """Steps lead from the old to the new result without a gap; the logarithms of the gains add up to that of the total."""
    assert function.old is not None
    assert function.new is not None
    assert function.gain is not None
    assert isclose(function.gain, function.old.cases.adjusted / function.new.cases.adjusted)
    reached = function.old.cases.adjusted
    for step in function.steps:
        assert step.before == reached
        assert step.after != reached
        reached = step.after
    assert reached == pytest.approx(function.new.cases.adjusted, rel=1e-12)
    assert sum(log(step.gain) for step in function.steps) == pytest.approx(log(function.gain), abs=1e-9)


@settings(deadline=None, max_examples=30)
@given(old=drawn, new=drawn)
def test_the_steps_multiply_to_the_whole_change(old: Assessment, new: Assessment) -> None:
    comparison = compare(old, new)
    assert {function.id for function in comparison.functions} == {*old.plant.functions, *new.plant.functions}
    for function in comparison.functions:
        if function.old is not None and function.new is not None and function.old.demand == function.new.demand:
            _assert_adds_up(function)
        else:
            assert (function.gain, function.steps, function.only_alone) == (None, (), ())


@settings(deadline=None, max_examples=30)
@given(old=drawn, new=drawn)
def test_swapping_the_two_states_inverts_every_factor_and_every_fact(old: Assessment, new: Assessment) -> None:
    forward, back = compare(old, new), compare(new, old)
    for function in forward.functions:
        opposite = change(back, function.id)
        assert (function.gain is None) == (opposite.gain is None)
        if function.gain is not None and opposite.gain is not None:
            assert function.gain * opposite.gain == pytest.approx(1.0, rel=1e-12)
            gains = [prod(step.gain for step in change.steps) for change in (function, opposite)]
            assert prod(gains) == pytest.approx(1.0)
    assert {(fact.place, str(fact.old), str(fact.new)) for fact in forward.data} == {
        (fact.place, str(fact.new), str(fact.old)) for fact in back.data
    }
    assert {(fact.question, fact.of) for fact in forward.answers} == {(fact.question, fact.of) for fact in back.answers}
    for zone in forward.zones:
        other_zone = next(candidate for candidate in back.zones if candidate.id == zone.id)
        assert [gap.question for gap in zone.opened] == [gap.question for gap in other_zone.closed]
        assert {gap.question for gap in zone.staying} == {gap.question for gap in other_zone.staying}


@settings(deadline=None, max_examples=30)
@given(assessment=drawn)
def test_a_state_compared_with_itself_gives_nothing(assessment: Assessment) -> None:
    copy = Assessment(Plant.model_validate(assessment.plant.model_dump()), assessment.answers)
    comparison = compare(assessment, copy)
    assert comparison.nothing
    assert all(function.gain == 1.0 for function in comparison.functions)
    assert not any(function.steps or function.only_alone for function in comparison.functions)
    assert all(both.old == both.new for both in (*comparison.groups, *comparison.functions, *comparison.zones))
    assert not any(zone.opened or zone.closed for zone in comparison.zones)


@settings(deadline=None, max_examples=30)
@given(old=drawn, new=drawn)
def test_every_fact_of_a_step_is_in_the_list_of_facts(old: Assessment, new: Assessment) -> None:
    for functions in (None, ["SIF-401"], ["SIF-210", "SIF-301"]):
        comparison = compare(old, new, functions=functions)
        known = {named_fact(fact) for fact in (*comparison.data, *comparison.answers)}
        for function in comparison.functions:
            assert {
                named_fact(fact) for step in (*function.steps, *function.only_alone) for fact in step.facts
            } <= known


@settings(deadline=None, max_examples=30)
@given(old=drawn, new=drawn)
def test_a_selection_explains_its_functions_as_the_full_comparison_does(old: Assessment, new: Assessment) -> None:
    full = compare(old, new)
    for function in full.functions:
        selection = compare(old, new, functions=[function.id])
        assert selection.functions == (function,)


@settings(deadline=None, max_examples=30)
@given(before=SOME, after=SOME)
def test_each_answer_leads_to_the_result_of_a_fresh_assessment(before: list[Answer], after: list[Answer]) -> None:
    """Both at its place in the order and applied alone."""
    comparison = compare(state(given_answers=before), state(given_answers=after))
    for function in comparison.functions:
        original = current = {(answer.question, answer.of): answer for answer in before}
        began = _fresh(original, function.id)
        steps = {named_fact(fact): step for step in (*function.steps, *function.only_alone) for fact in step.facts}
        for fact in comparison.answers:
            current, step = _with(current, fact), steps.get(named_fact(fact))
            gain_alone = began / _fresh(_with(original, fact), function.id)
            assert gain_alone == pytest.approx(1.0 if step is None else step.gain_alone, rel=1e-12)
            if step is not None:
                assert _fresh(current, function.id) == pytest.approx(step.after, rel=1e-12)


AnswersByKey = dict[tuple[str, str], Answer]


def _fresh(answers: AnswersByKey, function: str) -> float:
    return state(given_answers=answers.values()).function(function).cases.adjusted


def _with(answers: AnswersByKey, fact: AnswerFact) -> AnswersByKey:
    key = (fact.question, fact.of)
    others = {name: answer for name, answer in answers.items() if name != key}
    return others if fact.new is None else {**others, key: fact.new}


def test_a_doubled_beta_doubles_the_shared_part_by_hand() -> None:
    """1oo2, lambda_DU 900 FIT and lambda_DD 100 FIT, T1 8 760 h, MRT 8 h, MTTR 8 h; beta 5 % to 10 %, beta_D 2.5 % to 5 %.

    IEC 61508-6:2010, B.3.2.2.2 (from memory): PFD = 2 ((1 - beta_D) DD + (1 - beta) DU)^2 t_CE t_GE
    + beta_D DD MTTR + beta DU (T1/2 + MRT).
    """
    du, dd, t1, mrt, mttr = 9e-7, 1e-7, 8760.0, 8.0, 8.0
    d = du + dd
    t_ce = du / d * (t1 / 2 + mrt) + dd / d * mttr
    t_ge = du / d * (t1 / 3 + mrt) + dd / d * mttr
    shared = 0.025 * dd * mttr + 0.05 * du * (t1 / 2 + mrt)
    before = 2 * ((1 - 0.025) * dd + (1 - 0.05) * du) ** 2 * t_ce * t_ge + shared
    after = 2 * ((1 - 0.05) * dd + (1 - 0.10) * du) ** 2 * t_ce * t_ge + 2 * shared
    old, new = _pair_of_valves(0.05, 0.025), _pair_of_valves(0.10, 0.05)
    comparison = compare(old, new)
    assert [fact.place for fact in comparison.data] == [
        "groups.pair.stated_beta.beta",
        "groups.pair.stated_beta.beta_d",
    ]
    function = change(comparison, "F")
    assert function.old is not None
    assert function.new is not None
    split = function.new.groups[0].low.adjusted
    assert split is not None
    assert split.shared == pytest.approx(2 * shared)
    assert (function.old.cases.adjusted, function.new.cases.adjusted) == (pytest.approx(before), pytest.approx(after))
    assert len(function.steps) == 2
    between = 2 * ((1 - 0.025) * dd + (1 - 0.10) * du) ** 2 * t_ce * t_ge + shared + 0.05 * du * (t1 / 2 + mrt)
    assert [step.gain for step in function.steps] == [pytest.approx(before / between), pytest.approx(between / after)]
    assert function.gain == pytest.approx(before / after)


def _pair_of_valves(beta: float, beta_d: float) -> Assessment:
    group = {
        "part": "final",
        "voting": "1oo2",
        "channels": [["V"], ["V"]],
        "programmable": False,
        "proof_test": {"interval_h": 8760},
        "mttr_h": 8,
        "mrt_h": 8,
        "stated_beta": {"beta": beta, "beta_d": beta_d},
    }
    raw = {
        "format": 1,
        "plant": {"name": "P"},
        "devices": {"V": {"lambda_du_fit": 900, "lambda_dd_fit": 100}},
        "groups": {"pair": group},
        "functions": {"F": {"demand": "low", "target_rrf": 100, "groups": ["pair"]}},
    }
    return Assessment(Plant.model_validate(raw))
