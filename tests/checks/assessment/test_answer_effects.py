"""Effects of open questions and gaps, recomputed independently."""

from __future__ import annotations

import pytest

from checks.assessment import answer_effects
from checks.assessment.answer_effects import Effect
from checks.assessment.answers import SAME_QUESTION
from checks.assessment.assessment import Assessment
from checks.assessment.groups import UNMET
from checks.assessment.redundancy_inputs import voted
from checks.assessment.results import GroupResult
from checks.plantfile import plant_file
from checks.plantfile.plant import Answer
from demo.load import PLANT
from scoring import common_cause, exposure
from scoring.method import Measure
from scoring.redundancy.annex_b_edition_2 import AnnexB2
from tests.checks.given import answer, assessed

DEMO = Assessment(plant_file.read(PLANT))


def better(question: str, of: str) -> Answer:
    return Answer(question=question, of=of, value="met")


def test_the_most_decisive_open_question_of_the_double_block_valves_is_the_environmental_test() -> None:
    first = answer_effects.open_questions_of_group(DEMO, "esv-501")[0]
    assert (first.question, first.of, first.function) == ("TST1", "group:esv-501", "SIF-501")
    by_hand = DEMO.with_answers([better("TST1", "group:esv-501")]).function("SIF-501").cases.scored
    assert first.now == DEMO.function("SIF-501").cases.scored
    assert first.then == by_hand
    assert first.gain == first.now / by_hand > 1.0


@pytest.mark.parametrize("group", [key for key, group in DEMO.plant.groups.items() if group.voting.redundant])
def test_open_questions_of_a_group_are_those_without_an_answer_that_settles_them(group: str) -> None:
    effects = answer_effects.open_questions_of_group(DEMO, group)
    answers = DEMO.answers_for(group)
    rows = common_cause.rows(DEMO.plant.groups[group].part)
    expected = {name for name in rows if name not in answers or answers[name].value == "unknown"}
    assert {effect.question for effect in effects} == expected
    assert [(-effect.gain, -effect.points) for effect in effects] == sorted(
        (-effect.gain, -effect.points) for effect in effects
    )


@pytest.mark.parametrize("group", [key for key, group in DEMO.plant.groups.items() if group.voting.redundant])
def test_the_effect_of_each_open_question_equals_a_fresh_assessment_with_that_answer(group: str) -> None:
    for effect in answer_effects.open_questions_of_group(DEMO, group):
        plant = DEMO.plant.model_copy(update={"answers": [*DEMO.answers, better(effect.question, effect.of)]})
        fresh = Assessment(plant).function(effect.function)
        assert effect.then == fresh.cases.scored
        assert effect.now == DEMO.function(effect.function).cases.scored


def test_a_group_without_redundancy_has_no_open_question() -> None:
    assert answer_effects.open_questions_of_group(DEMO, "xv-401") == []


def test_an_answer_of_the_zone_to_the_same_question_closes_it() -> None:
    question, topic = next(iter(SAME_QUESTION.items()))
    of_group = {effect.question for effect in answer_effects.open_questions_of_group(assessed(), "ls-sis")}
    closed = assessed(answer(topic, "zone:sis", "not-met"))
    assert question in of_group
    assert question not in {effect.question for effect in answer_effects.open_questions_of_group(closed, "ls-sis")}


def test_of_a_zone_without_a_function_no_topic_is_decisive() -> None:
    assert answer_effects.open_topics_of_zone(DEMO, "Z2") == []


def test_an_open_topic_of_a_zone_has_the_effect_of_a_fresh_assessment_with_it() -> None:
    effects = answer_effects.open_topics_of_zone(DEMO, "Z5")
    assert effects
    for effect in effects:
        plant = DEMO.plant.model_copy(update={"answers": [*DEMO.answers, better(effect.question, effect.of)]})
        assert effect.then == Assessment(plant).function(effect.function).cases.adjusted


def closed_by_hand(zone: str, effect: Effect, weight: int) -> float:
    """Result of the function with one topic of the zone taken out of each exposure by g' = 1 - (1 - g) / (1 - c a)."""
    function = DEMO.function(effect.function)
    measure: Measure = "pfd" if function.demand == "low" else "pfh"
    total = 0.0
    for part in function.groups:
        topics = DEMO.unmet_topics(part.id, DEMO.answers_for(part.id)) or ()
        share = next((topic.share for topic in topics if topic.topic == effect.question), None)
        answer = DEMO.answers_for(part.id).get(effect.question)
        beyond = answer is not None and answer.of.startswith("group:")
        if (
            DEMO.plant.groups[part.id].zone != zone
            or not share
            or beyond
            or part.betas is None
            or part.exposure is None
        ):
            total += part.measured(measure).cases.adjusted
            continue
        g = exposure.closed(part.exposure, weight, share)
        beta, beta_d = (raised(part, own_beta, g) for own_beta in (part.betas.beta_int, part.betas.beta_d_int))
        group = voted(DEMO.plant, DEMO.plant.groups[part.id])
        total += float(AnnexB2().result(measure, group, beta=beta, beta_d=beta_d).total)
    return total


def raised(group: GroupResult, own_beta: float, g: float) -> float:
    """Beta of a group at exposure g under to-single, by the formula written with a quotient: beta (1 / beta)^g."""
    assert group.betas is not None
    beta = min(1.0, group.betas.voting_factor * own_beta)
    return beta * (1.0 / beta) ** g


@pytest.mark.parametrize("zone", [key for key in DEMO.plant.zones if DEMO.zone(key).gaps and DEMO.zone(key).groups])
def test_the_effect_of_closing_a_gap_is_the_closing_formula_put_through_the_equations(zone: str) -> None:
    moved = 0
    for gap, effect in answer_effects.gap_effects(DEMO, zone):
        if not gap.is_topic:
            assert effect is None, "a requirement carries no exposure of its own"
            continue
        assert effect is not None
        assert effect.then == pytest.approx(closed_by_hand(zone, effect, gap.weight), rel=1e-9)
        moved += effect.gain > 1.0
    if zone == "Z5":
        assert moved > 10


@pytest.mark.parametrize("zone", list(DEMO.plant.zones))
def test_every_gap_of_a_zone_is_listed_once_with_the_greatest_gain_on_top(zone: str) -> None:
    pairs = answer_effects.gap_effects(DEMO, zone)
    assert sorted(gap.question for gap, _ in pairs) == sorted(gap.question for gap in DEMO.zone(zone).gaps)
    gains = [effect.gain if effect else 0.0 for _, effect in pairs]
    assert gains == sorted(gains, reverse=True)


def test_the_unmet_share_of_every_value_but_not_applicable_is_known() -> None:
    assert set(UNMET) == {"met", "equivalent", "partly", "not-met", "unknown"}
