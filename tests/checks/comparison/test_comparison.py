"""Two states side by side: facts that differ, what came of them, and steps that add up to the whole change."""

from __future__ import annotations

from math import isclose, log, prod

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checks.assessment.assessment import Assessment
from checks.comparison.comparison import FunctionChange, compare
from checks.comparison.differences import AnswerFact
from checks.plantfile.plant import Answer, Plant
from tests.checks.comparison.states import change, drawn, state, told
from tests.checks.draws import answers

SOME = st.lists(answers(), min_size=1, max_size=12, unique_by=lambda one: (one.question, one.of))


def _assert_adds_up(one: FunctionChange) -> None:
    """From the old result to the new without a gap; the logarithms of the gains add up to that of the whole."""
    assert one.old is not None
    assert one.new is not None
    assert one.gain is not None
    assert isclose(one.gain, one.old.cases.adjusted / one.new.cases.adjusted)
    at = one.old.cases.adjusted
    for step in one.steps:
        assert step.before == at
        assert step.after != at
        at = step.after
    assert at == pytest.approx(one.new.cases.adjusted, rel=1e-12)
    assert sum(log(step.gain) for step in one.steps) == pytest.approx(log(one.gain), abs=1e-9)


@settings(deadline=None, max_examples=150)
@given(old=drawn, new=drawn)
def test_the_steps_multiply_to_the_whole_change(old: Assessment, new: Assessment) -> None:
    found = compare(old, new)
    assert {one.id for one in found.functions} == {*old.plant.functions, *new.plant.functions}
    for one in found.functions:
        if one.old is not None and one.new is not None and one.old.demand == one.new.demand:
            _assert_adds_up(one)
        else:
            assert (one.gain, one.steps, one.only_alone) == (None, (), ())


@settings(deadline=None, max_examples=60)
@given(old=drawn, new=drawn)
def test_swapping_the_two_states_inverts_every_factor_and_every_fact(old: Assessment, new: Assessment) -> None:
    there, back = compare(old, new), compare(new, old)
    for one in there.functions:
        other = change(back, one.id)
        assert (one.gain is None) == (other.gain is None)
        if one.gain is not None and other.gain is not None:
            assert one.gain * other.gain == pytest.approx(1.0, rel=1e-12)
            assert prod(step.gain for step in one.steps) * prod(step.gain for step in other.steps) == pytest.approx(1.0)
    assert {(fact.place, str(fact.old), str(fact.new)) for fact in there.data} == {
        (fact.place, str(fact.new), str(fact.old)) for fact in back.data
    }
    assert {(one.question, one.of) for one in there.answers} == {(one.question, one.of) for one in back.answers}
    for zone in there.zones:
        other_zone = next(one for one in back.zones if one.id == zone.id)
        assert [gap.question for gap in zone.opened] == [gap.question for gap in other_zone.closed]
        assert {gap.question for gap in zone.staying} == {gap.question for gap in other_zone.staying}


@settings(deadline=None, max_examples=40)
@given(held=drawn)
def test_a_state_compared_with_itself_gives_nothing(held: Assessment) -> None:
    again = Assessment(Plant.model_validate(held.plant.model_dump()), held.answers)
    found = compare(held, again)
    assert found.nothing
    assert all(one.gain == 1.0 for one in found.functions)
    assert not any(one.steps or one.only_alone for one in found.functions)
    assert all(one.old == one.new for one in (*found.groups, *found.functions, *found.zones))
    assert not any(zone.opened or zone.closed for zone in found.zones)


@settings(deadline=None, max_examples=60)
@given(old=drawn, new=drawn)
def test_every_fact_of_a_step_stands_in_the_list_of_facts(old: Assessment, new: Assessment) -> None:
    for functions in (None, ["SIF-401"], ["SIF-210", "SIF-301"]):
        found = compare(old, new, functions=functions)
        known = {told(fact) for fact in (*found.data, *found.answers)}
        for one in found.functions:
            assert {told(fact) for step in (*one.steps, *one.only_alone) for fact in step.facts} <= known


@settings(deadline=None, max_examples=40)
@given(old=drawn, new=drawn)
def test_a_selection_explains_its_functions_as_the_whole_does(old: Assessment, new: Assessment) -> None:
    whole = compare(old, new)
    for one in whole.functions:
        part = compare(old, new, functions=[one.id])
        assert part.functions == (one,)


@settings(deadline=None, max_examples=60)
@given(before=SOME, after=SOME)
def test_each_answer_leads_to_the_result_of_a_fresh_assessment(before: list[Answer], after: list[Answer]) -> None:
    """Both at its place in the order and applied alone."""
    found = compare(state(given=before), state(given=after))
    for one in found.functions:
        first = held = {(said.question, said.of): said for said in before}
        began = _fresh(first, one.id)
        steps = {told(fact): step for step in (*one.steps, *one.only_alone) for fact in step.facts}
        for fact in found.answers:
            held, step = _with(held, fact), steps.get(told(fact))
            gain_alone = began / _fresh(_with(first, fact), one.id)
            assert gain_alone == pytest.approx(1.0 if step is None else step.gain_alone, rel=1e-12)
            if step is not None:
                assert _fresh(held, one.id) == pytest.approx(step.after, rel=1e-12)


Held = dict[tuple[str, str], Answer]


def _fresh(held: Held, function: str) -> float:
    return state(given=held.values()).function(function).cases.adjusted


def _with(held: Held, fact: AnswerFact) -> Held:
    key = (fact.question, fact.of)
    rest = {name: one for name, one in held.items() if name != key}
    return rest if fact.new is None else {**rest, key: fact.new}


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
    found = compare(old, new)
    assert [fact.place for fact in found.data] == [
        "groups.pair.stated_beta.beta",
        "groups.pair.stated_beta.beta_d",
    ]
    one = change(found, "F")
    assert one.old is not None
    assert one.new is not None
    split = one.new.groups[0].low.adjusted
    assert split is not None
    assert split.shared == pytest.approx(2 * shared)
    assert (one.old.cases.adjusted, one.new.cases.adjusted) == (pytest.approx(before), pytest.approx(after))
    assert len(one.steps) == 2
    between = 2 * ((1 - 0.025) * dd + (1 - 0.10) * du) ** 2 * t_ce * t_ge + shared + 0.05 * du * (t1 / 2 + mrt)
    assert [step.gain for step in one.steps] == [pytest.approx(before / between), pytest.approx(between / after)]
    assert one.gain == pytest.approx(before / after)


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
