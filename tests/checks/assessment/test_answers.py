"""The answers that apply to a group or a zone."""

from __future__ import annotations

import pytest

from checks.assessment.answers import Answers
from checks.questions.bank import banks
from tests.checks.given import answer, assessed, every_topic


def _value(answers: Answers, question: str, *, systems: tuple[str, ...] = ("S30",), zone: str | None = "sis") -> str:
    applicable = answers.for_group("pt-301", zone=zone, systems=systems).get(question)
    return "nobody" if applicable is None else f"{applicable.of} {applicable.value}"


PLANT, SYSTEM, ZONE, GROUP = "plant", "system:S30", "zone:sis", "group:pt-301"


@pytest.mark.parametrize(
    ("question", "addressees", "applies"),
    [
        ("CMP1", (PLANT, SYSTEM, GROUP), GROUP),
        ("CMP1", (PLANT, SYSTEM), SYSTEM),
        ("CMP1", (SYSTEM, GROUP), GROUP),
        ("CMP1", (PLANT,), PLANT),
        ("P03", (PLANT, ZONE, GROUP), GROUP),
        ("P03", (PLANT, ZONE), ZONE),
        ("P03", (ZONE, GROUP), GROUP),
        ("P03", (PLANT,), PLANT),
        ("SR 7.3", (ZONE, GROUP), GROUP),
        ("SR 7.3", (ZONE,), ZONE),
    ],
)
def test_the_most_specific_answer_applies_and_names_its_addressee(
    question: str, addressees: tuple[str, ...], applies: str
) -> None:
    for order in (addressees, tuple(reversed(addressees))):
        answers = Answers(answer(question, of, "met" if of == applies else "not-met") for of in order)
        assert _value(answers, question) == f"{applies} met"


def test_answers_of_other_groups_systems_and_zones_do_not_apply() -> None:
    others = ("group:ls-sis", "system:S40", "zone:field")
    answers = Answers(answer(question, of) for question, of in zip(("SEP1", "ASM1", "Z01"), others, strict=True))
    assert [_value(answers, question) for question in ("SEP1", "ASM1", "Z01")] == ["nobody"] * 3


def test_a_group_outside_all_zones_and_systems_still_has_the_plants_answers() -> None:
    answers = Answers([answer("CMP1", PLANT), answer("CMP2", SYSTEM), answer("Z01", ZONE)])
    applicable = answers.for_group("pt-301", zone=None, systems=())
    assert set(applicable) == {"CMP1"}


@pytest.mark.parametrize(
    ("pairs", "applies"),
    [
        ((("A05", ZONE),), f"{ZONE} met"),
        ((("A05", ZONE), ("ENV1", PLANT)), f"{PLANT} not-met"),
        ((("A05", ZONE), ("ENV1", SYSTEM)), f"{SYSTEM} not-met"),
        ((("A05", ZONE), ("ENV1", GROUP)), f"{GROUP} not-met"),
        ((("A05", ZONE), ("A05", GROUP)), f"{GROUP} met"),
        ((("A05", ZONE), ("ENV1", PLANT), ("ENV1", SYSTEM), ("ENV1", GROUP)), f"{GROUP} not-met"),
    ],
)
def test_locked_cabinets_fall_back_last_on_the_answer_of_the_zone(
    pairs: tuple[tuple[str, str], ...], applies: str
) -> None:
    answers = Answers(answer(question, of, "met" if question == "A05" else "not-met") for question, of in pairs)
    assert _value(answers, "ENV1") == applies


def test_the_cyber_topic_does_not_fall_back_on_the_common_cause_question() -> None:
    answers = Answers([answer("ENV1", PLANT)])
    assert _value(answers, "A05") == "nobody"


def test_locked_cabinets_of_the_zone_score_for_its_groups() -> None:
    with_it = assessed(answer("A05", "zone:sis")).group("ls-sis").score
    assert with_it is not None
    assert (with_it.x, with_it.y) == (0.5, 2.5)
    other = assessed(answer("A05", "zone:sis")).group("pt-301").score
    assert other is not None
    assert other.s == 0.0


@pytest.mark.parametrize("order", [("S30", "S40"), ("S40", "S30")])
@pytest.mark.parametrize(
    ("first", "second", "used"),
    [
        ("met", "not-met", "not-met"),
        ("met", "partly", "partly"),
        ("met", "unknown", "unknown"),
        ("equivalent", "not-met", "not-met"),
        ("met", "not-applicable", "not-applicable"),
    ],
)
def test_of_two_systems_that_share_a_group_the_worse_answer_is_used(
    first: str, second: str, used: str, order: tuple[str, str]
) -> None:
    answers = Answers([answer("ASM1", "system:S30", first), answer("ASM1", "system:S40", second)])
    assert _value(answers, "ASM1", systems=order).split()[1] == used


def test_a_later_answer_replaces_an_earlier_one_and_the_old_object_does_not_change() -> None:
    before = Answers([answer("CMP1", PLANT, "met")])
    after = before.plus([answer("CMP1", PLANT, "not-met"), answer("CMP2", PLANT)])
    assert [len(before), len(after)] == [1, 2]
    assert [earlier.value for earlier in before] == ["met"]
    latest = after.get("CMP1", PLANT)
    assert latest is not None
    assert latest.value == "not-met"


def test_without_an_answer_the_inherited_one_applies() -> None:
    answers = Answers([answer("CMP1", PLANT, "not-met"), answer("CMP1", GROUP)])
    assert _value(answers.without("CMP1", GROUP), "CMP1") == f"{PLANT} not-met"
    assert _value(answers.without("CMP1", "group:none"), "CMP1") == f"{GROUP} met"
    assert len(answers) == 2


def test_a_zone_has_its_own_answers_over_those_of_the_plant_and_none_of_a_group() -> None:
    answers = Answers([answer("P03", PLANT, "not-met"), answer("P03", ZONE), answer("Z01", GROUP)])
    applicable = answers.for_zone("sis")
    assert {name: applied.of for name, applied in applicable.items()} == {"P03": ZONE}


def test_every_topic_of_one_zone_can_be_answered_of_it() -> None:
    assert len(Answers(every_topic(ZONE, "met")).for_zone("sis")) == len(banks().cyber)
