"""Beside an answer the figure of its function has method, band and second method, drawn once they are computed."""

from __future__ import annotations

import pytest

from checks.analysis import beside_result
from checks.assessment.assessment import Assessment
from checks.journal.store import Store
from checks.plantfile.plant import Answer
from checks.state.live import Live
from pages.cached import later
from pages.presentation import second_words
from tests.pages.at_the_screen import completed
from tests.pages.shown import Screen, answers, fine, said

WAITING = "5 % to 95 %: …; second method: …."


@pytest.fixture(autouse=True)
def of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """What no other test has computed already."""
    monkeypatch.setattr(later, "_later", later.Later(100))


def _line(assessment: Assessment, key: str) -> str:
    function, method = assessment.function(key), assessment.method_of(key)
    return second_words.in_one_line(function, method, beside_result.figures(assessment, [key]))


@pytest.mark.parametrize("view", ["", "room"])
def test_a_common_cause_answer_shows_its_effect_at_once_and_then_the_band(
    store: Store, screen: Screen, view: str
) -> None:
    where = {"view": view} if view else {}
    at = completed(screen("common-cause", group="esv-501", q="TST1", **where))
    before = Live(store, 1).state().assessment
    assert _line(before, "SIF-501") in said(at)
    at = fine(answers(at, "TST1", "group:esv-501").set_value("met").run())
    assert "380" in said(at)
    assert f"SIF-501 with common cause by {before.method_of('SIF-501').label}; {WAITING}" in said(at)
    after = before.with_answers([Answer(question="TST1", of="group:esv-501", value="met")])
    shown = said(completed(at))
    assert _line(after, "SIF-501") in shown
    assert WAITING not in shown
    assert _line(before, "SIF-501") != _line(after, "SIF-501")


@pytest.mark.parametrize("view", ["", "room"])
def test_a_cyber_answer_has_the_band_of_the_result_with_common_cause(store: Store, screen: Screen, view: str) -> None:
    where = {"view": view} if view else {}
    at = fine(screen("cyber", zone="Z5", **where))
    assert WAITING in said(at)
    assessment = Live(store, 1).state().assessment
    worst = assessment.worst_by_exposure(assessment.zone("Z5").groups)
    assert worst is not None
    assert _line(assessment, worst.id) in said(completed(at))


@pytest.mark.usefixtures("store")
def test_a_zone_without_groups_has_no_figure_and_no_line(screen: Screen) -> None:
    assert "with common cause by" not in said(completed(screen("cyber", zone="Z1")))
