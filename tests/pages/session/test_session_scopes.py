"""Addressee of an answer: chosen by the person, and named where an answer is inherited."""

from __future__ import annotations

import pytest
from streamlit.testing.v1 import AppTest

from checks.journal.store import Store
from checks.state.live import Live
from tests.checks.journal.stored import history, latest
from tests.pages.shown import Screen, answers, fine, said

SCOPES = ["plant", "system:S30", "group:pt-301"]


def choose(at: AppTest, question: str, of: str) -> AppTest:
    """Choose the addressee of the answer."""
    return fine(at.button_group(key=f"scope_{question}").set_value(of).run())


@pytest.mark.parametrize("of", SCOPES)
def test_the_answer_is_stored_for_the_chosen_addressee(store: Store, screen: Screen, of: str) -> None:
    before = {scope: history(store, 1, "PRO3", scope) for scope in SCOPES}
    at = choose(fine(screen("common-cause", group="pt-301", q="PRO3")), "PRO3", of)
    fine(answers(at, "PRO3", of).set_value("partly").run())
    for scope in SCOPES:
        added = history(store, 1, "PRO3", scope)[len(before[scope]) :]
        assert [version.answer.value for version in added] == (["partly"] if scope == of else [])


def test_an_answer_of_the_whole_plant_reaches_every_group(store: Store, screen: Screen) -> None:
    at = choose(fine(screen("common-cause", group="pt-301", q="PRO3")), "PRO3", "plant")
    fine(answers(at, "PRO3", "plant").set_value("not-met").run())
    for group in ("pt-301", "esv-501", "con-210"):
        effective = Live(store, 1).state().assessment.answers_for(group)["PRO3"]
        assert (effective.value, effective.of) == ("not-met", "plant")


@pytest.mark.usefixtures("store")
@pytest.mark.parametrize(("question", "scopes"), [("SEP1", []), ("ASM1", SCOPES[1:]), ("PRO1", SCOPES)])
def test_a_question_offers_the_addressees_for_which_one_answer_makes_sense(
    screen: Screen, question: str, scopes: list[str]
) -> None:
    at = fine(screen("common-cause", group="pt-301", q=question))
    choosers = [group for group in at.button_group if group.key == f"scope_{question}"]
    names = {"plant": "the whole plant", "system:S30": "system S30", "group:pt-301": "group pt-301"}
    offered = [option.replace("\\", "") for chooser in choosers for option in chooser.options]
    assert offered == [names[of] for of in scopes]


@pytest.mark.usefixtures("store")
def test_a_group_of_several_systems_offers_each_of_them(screen: Screen) -> None:
    at = fine(screen("common-cause", group="ls-sis", q="ASM2"))
    offered = at.button_group(key="scope_ASM2").options
    assert offered == ["system S30", "system S40", "system S50", "system S70", "group ls\\-sis"]


def test_the_shown_scope_is_the_one_the_answer_came_from(store: Store, screen: Screen) -> None:
    at = fine(screen("common-cause", group="pt-301", q="PRO3"))
    assert at.button_group(key="scope_PRO3").value == "plant"
    assert answers(at, "PRO3", "plant").value == latest(store, 1, "PRO3", "plant").answer.value
    assert (
        "for the whole plant, by maintenance planner MP-2, imported by functional-safety engineer FS-1 (answered 2025-03-04)."
        in said(at)
    )


@pytest.mark.usefixtures("store")
def test_an_inherited_answer_says_where_it_comes_from(screen: Screen) -> None:
    at = choose(fine(screen("common-cause", group="pt-301", q="PRO3")), "PRO3", "group:pt-301")
    assert answers(at, "PRO3", "group:pt-301").value == "met"
    assert "Inherited from the answer of the whole plant. Answer here to override it." in said(at)
    at = choose(fine(screen("common-cause", group="pt-301", q="ASM2")), "ASM2", "group:pt-301")
    assert "Inherited from the answer of system S30. Answer here to override it." in said(at)


def test_an_inherited_answer_can_be_overridden_here_alone(store: Store, screen: Screen) -> None:
    theirs = history(store, 1, "PRO3", "plant")
    at = choose(fine(screen("common-cause", group="pt-301", q="PRO3")), "PRO3", "group:pt-301")
    fine(answers(at, "PRO3", "group:pt-301").set_value("not-met").run())
    assert history(store, 1, "PRO3", "plant") == theirs
    assessment = Live(store, 1).state().assessment
    assert assessment.answers_for("pt-301")["PRO3"].of == "group:pt-301"
    assert assessment.answers_for("tt-302")["PRO3"].of == "plant"


def test_an_answer_that_does_not_count_here_says_which_one_does(store: Store, screen: Screen) -> None:
    at = choose(fine(screen("common-cause", group="pt-301", q="PRO3")), "PRO3", "group:pt-301")
    answers(at, "PRO3", "group:pt-301").set_value("not-met").run()
    shown = said(choose(at, "PRO3", "plant"))
    assert "The answer of group pt-301 applies here: Not met." in shown
    assert latest(store, 1, "PRO3", "plant").answer.value == "met"


def test_locked_cabinets_answered_for_the_zone_count_for_its_groups(store: Store, screen: Screen) -> None:
    at = fine(screen("common-cause", group="pt-301", q="ENV1"))
    of_zone = latest(store, 1, "A05", "zone:Z5").answer
    assert answers(at, "ENV1", "group:pt-301").value == of_zone.value
    assert "Inherited from the answer of zone Z5 to A05, the same question. Answer here to override it." in said(at)
    fine(answers(at, "ENV1", "group:pt-301").set_value("not-met").run())
    assert latest(store, 1, "ENV1", "group:pt-301").answer.value == "not-met"
    assert latest(store, 1, "A05", "zone:Z5").answer == of_zone
    assert "Inherited from" not in said(at)


def test_a_change_of_the_zones_answer_reaches_the_group(store: Store, screen: Screen) -> None:
    at = fine(screen("cyber", zone="Z5", q="A05"))
    fine(answers(at, "A05", "zone:Z5").set_value("not-met").run())
    at = fine(screen("common-cause", group="pt-301", q="ENV1"))
    assert answers(at, "ENV1", "group:pt-301").value == "not-met"
    assert history(store, 1, "ENV1", "group:pt-301") == []


def test_a_group_that_answered_itself_does_not_follow_the_zone(store: Store, screen: Screen) -> None:
    at = fine(screen("common-cause", group="gd-702", q="ENV1"))
    assert answers(at, "ENV1", "group:gd-702").value == latest(store, 1, "ENV1", "group:gd-702").answer.value
    assert "Inherited from" not in said(at)


@pytest.mark.parametrize("of", ["plant", "zone:Z6"])
def test_a_topic_asked_of_the_plant_can_be_answered_of_one_zone(store: Store, screen: Screen, of: str) -> None:
    topic = next(
        question.id
        for question in Live(store, 1).state().assessment.banks.cyber.values()
        if question.asked_of == "plant"
    )
    before = {scope: history(store, 1, topic, scope) for scope in ("plant", "zone:Z6")}
    at = choose(fine(screen("cyber", zone="Z6", q=topic)), topic, of)
    value = "partly" if answers(at, topic, of).value != "partly" else "not-met"
    fine(answers(at, topic, of).set_value(value).run())
    for scope, versions in before.items():
        assert len(history(store, 1, topic, scope)) == len(versions) + (scope == of)
    assert latest(store, 1, topic, of).answer.value == value
