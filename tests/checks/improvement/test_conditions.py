"""Which answers must become met: where they stand, shared groups, more specific answers, what does not apply."""

from __future__ import annotations

from checks.assessment.assessment import Assessment
from checks.improvement import conditions
from checks.improvement.conditions import Needed
from checks.plantfile.plant import Answer, Plant
from tests.checks.given import answer, every_topic, plain

SHARED = "ls-sis"


def _assessment(*answers: Answer) -> Assessment:
    raw = plain()
    raw["answers"] = []
    raw["functions"]["SIF-401"]["groups"] = ["tt-401", SHARED]
    return Assessment(Plant.model_validate(raw)).with_answers(answers)


def _needed(question: str, *answers: Answer, group: str = SHARED) -> Needed:
    return conditions.of_groups(_assessment(*answers), [group], lambda _: True)[group].rows[question]


def _sets(*answers: tuple[str, str]) -> Needed:
    return (frozenset(answers),)


def test_an_answer_is_improved_where_it_stands() -> None:
    assert _needed("PRO1", answer("PRO1", "plant", "not-met")) == _sets(("PRO1", "plant"))
    specific = answer("PRO1", f"group:{SHARED}", "partly")
    assert _needed("PRO1", answer("PRO1", "plant", "not-met"), specific) == _sets(("PRO1", f"group:{SHARED}"))


def test_a_question_without_an_answer_is_answered_for_the_addressee_of_a_session() -> None:
    assert _needed("SEP1") == _sets(("SEP1", f"group:{SHARED}"))
    assert _needed("PRO1") == _sets(("PRO1", "plant"))


def test_of_several_systems_each_worse_answer_must_improve() -> None:
    both = [answer("ASM1", "system:S30", "not-met"), answer("ASM1", "system:S40", "unknown")]
    assert _needed("ASM1", *both) == _sets(("ASM1", "system:S30"), ("ASM1", "system:S40"))
    assert _needed("ASM1", both[0], answer("ASM1", "system:S40")) == _sets(("ASM1", "system:S30"))


def test_what_does_not_apply_in_one_system_is_met_by_nothing() -> None:
    answers = [answer("ASM1", "system:S30", "not-met"), answer("ASM1", "system:S40", "not-applicable")]
    assert _needed("ASM1", *answers) == ()


def test_locked_cabinets_are_met_by_the_topic_that_asks_the_same() -> None:
    unmet = [answer("A05", "zone:sis", "not-met")]
    assert _needed("ENV1", *unmet) == _sets(("A05", "zone:sis"))
    begun = [answer("Z01", "zone:sis")]
    assert set(_needed("ENV1", *begun)) == {frozenset([("ENV1", f"group:{SHARED}")]), frozenset([("A05", "zone:sis")])}


def test_a_zone_that_nobody_reviewed_offers_no_topic() -> None:
    assert conditions.of_groups(_assessment(), [SHARED], lambda _: True)[SHARED].topics == {}


def test_answers_that_the_reader_may_not_see_are_not_offered() -> None:
    answers = [answer("ASM1", "system:S40", "not-met"), *every_topic("zone:sis", "not-met")]
    assessment = _assessment(*answers)
    seen = conditions.of_groups(assessment, [SHARED], lambda of: of != "system:S40")[SHARED]
    assert seen.rows["ASM1"] == ()
    assert ("Z01", "zone:sis") in seen.asked
