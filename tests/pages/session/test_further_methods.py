"""Questions of further methods in the same session: a choice of method, levels as answers, and an effect that moves no result."""

from __future__ import annotations

from typing import Any

import pytest

from checks.assessment.assessment import Assessment
from checks.journal.store import Store
from checks.questions.bank import banks
from checks.state.live import Live
from tests.checks.journal.stored import history, latest
from tests.pages.shown import Screen, answers, fine, said

GROUP = "group:pt-301"


def results(store: Store) -> dict[str, Any]:
    """The four cases of every function."""
    assessment: Assessment = Live(store, 1).state().assessment
    return {key: assessment.function(key).cases for key in assessment.plant.functions}


@pytest.mark.usefixtures("store")
def test_a_session_asks_the_questions_of_the_plants_method_unless_another_is_chosen(screen: Screen) -> None:
    at = fine(screen("common-cause", group="pt-301"))
    method = at.selectbox(key="choose_method")
    assert method.value == "common_cause"
    assert method.options[0] == "IEC 61508-6:2010 Annex D"
    fine(method.set_value("humphreys").run())
    assert "HUM1 · question 1 of 8" in said(at)
    assert "Partial sums, Humphreys 1987: not answered" in said(at)


@pytest.mark.parametrize("level", ["level-a", "level-e", "unknown"])
def test_choosing_a_level_stores_it_and_leaves_every_result(store: Store, screen: Screen, level: str) -> None:
    before = results(store)
    at = fine(screen("common-cause", group="pt-301", method="humphreys", q="HUM1"))
    choice = answers(at, "HUM1", GROUP)
    assert list(choice.options) == ["Level A", "Level B", "Level C", "Level D", "Level E", "Not known"]
    fine(choice.set_value(level).run())
    assert [stored.answer.value for stored in history(store, 1, "HUM1", GROUP)] == [level]
    assert results(store) == before
    assert "and does not change" in said(at)


def test_the_last_level_gives_the_opinion(store: Store, screen: Screen) -> None:
    """Every factor at its best level but one: (51 - 8 + 35) / 51000 = 0.153 %. Derived from Humphreys 1987."""
    of = {"plant": "plant", "system": "system:S30", "group": GROUP}
    for name, question in banks().opinions["humphreys"].items():
        at = fine(screen("common-cause", group="pt-301", method="humphreys", q=name))
        value = "level-d" if name == "HUM1" else "level-e"
        fine(answers(at, name, of[question.asked_of]).set_value(value).run())
        assert latest(store, 1, name, of[question.asked_of]).answer.value == value
    assert "0.15 %" in said(at)
    assert "78 / 51000" in said(at)


@pytest.mark.usefixtures("store")
def test_the_choices_of_levels_are_explained_beside_the_question(screen: Screen) -> None:
    at = fine(screen("common-cause", group="pt-301", method="upm", q="UPM1"))
    meanings = [meaning for _, meaning in banks().questions["UPM1"].choices]
    assert [meaning for meaning in meanings if meaning not in said(at)] == []


@pytest.mark.usefixtures("store")
def test_an_address_with_an_unknown_method_shows_no_other_in_its_place(screen: Screen) -> None:
    assert "Nothing else is shown in its place." in said(screen("common-cause", group="pt-301", method="guesswork"))


@pytest.mark.usefixtures("store")
def test_the_method_of_the_result_is_named_beside_a_checklist(screen: Screen) -> None:
    at = fine(screen("common-cause", group="con-210", method="iec62061", q="MA1"))
    assert "MA1 · question 1 of 14" in said(at)
    assert "The result rests on IEC 61508-6:2010 Annex D" in said(at)
