"""The expected effect of an action on results, while it changes none."""

from __future__ import annotations

from checks.actions.action_rules import Asked, Move, expected_effect
from checks.questions.bank import banks
from tests.checks.actions.drawn import action
from tests.checks.given import answer, assessed

SEPARATE = [Asked(question=name, of="group:esv-301") for name in banks().common_cause]
"""One answer alone rarely crosses into the next band of Table D.4; all of them do."""


def test_the_expected_effect_is_what_the_answers_would_do_and_reaches_no_other_function() -> None:
    present = assessed()
    effect = expected_effect(action(questions=SEPARATE), present)
    fresh = assessed(*(answer(asked.question, asked.of, "met") for asked in SEPARATE))
    assert [move.function for move in effect.functions] == ["SIF-301"]
    (move,) = effect.moved
    assert move.now == present.function("SIF-301").cases.adjusted
    assert move.then == fresh.function("SIF-301").cases.adjusted < move.now


def test_an_answer_that_stands_already_moves_nothing_and_neither_does_an_addressee_that_is_gone() -> None:
    present = assessed(*(answer(asked.question, asked.of, "met") for asked in SEPARATE))
    same = expected_effect(action(questions=SEPARATE), present)
    assert [move.now == move.then for move in same.functions] == [True]
    assert same.moved == ()
    gone = action(questions=[Asked(question="SEP1", of="group:gone"), Asked(question="Z01", of="zone:gone")])
    assert expected_effect(gone, present).functions == ()


def test_a_question_of_the_whole_plant_reaches_every_function_and_the_one_that_gains_most_comes_first() -> None:
    present = assessed()
    procedures = [Asked(question=name, of="plant") for name in present.banks.common_cause]
    effect = expected_effect(action(questions=procedures), present)
    assert [move.function for move in effect.functions] == list(present.plant.functions)
    gains = [move.now / move.then for move in effect.moved]
    assert len(gains) >= 1
    assert gains == sorted(gains, reverse=True)


def test_a_change_below_one_per_cent_does_not_count_as_moving_a_function() -> None:
    # SIF-401 is one transmitter and the logic solvers: what the solvers share is far below the transmitter's share.
    present = assessed()
    effect = expected_effect(action(questions=[Asked(question="SEP1", of="group:ls-sis")]), present)
    by_name = {move.function: move for move in effect.functions}
    assert set(by_name) == {"SIF-301", "SIF-401"}
    assert not by_name["SIF-401"].moved


def test_a_function_moves_from_one_per_cent_of_its_result_on_in_either_direction() -> None:
    assert Move("F", "low", now=1e-3, then=0.9899e-3, case="scored").moved
    assert Move("F", "high", now=1e-7, then=1.0101e-7, case="scored").moved
    assert not Move("F", "low", now=1e-3, then=0.9901e-3, case="scored").moved
    assert not Move("F", "high", now=1e-7, then=1.0099e-7, case="scored").moved
