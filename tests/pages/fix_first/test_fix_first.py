"""What to fix first: the set, the gains, efforts, the set made into actions, and who sees what."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest
import streamlit as st
from streamlit.testing.v1 import AppTest

from checks.access.roles import ASSESSOR, FACILITATOR, MEMBER, VIEWER
from checks.actions import recorded_actions
from checks.assessment.assessment import Assessment
from checks.improvement import plan, recorded_efforts
from checks.journal.store import Store
from checks.plantfile.plant import Answer
from checks.recording import answer_records
from checks.state.live import Live
from tests.checks.journal.stored import say
from tests.checks.team import DISSENT, LEADS, Team
from tests.pages.at_the_screen import as_, press, unfold
from tests.pages.shown import Screen, fine, rows, said, tables, where

SET, OTHERS = "The cheapest set", "Open answers, those"


@pytest.mark.usefixtures("store")
def test_it_opens_on_the_worst_function_and_says_what_answers_cannot_do(screen: Screen) -> None:
    at = fine(screen("fix"))
    assert where(at, "fix") == "function:SIF-401"
    assert "Answers alone do not bring SIF-401 to its target with common cause" in said(at)
    assert not tables(at, SET)


def test_the_set_stands_at_the_top_with_effort_and_proof(store: Store, screen: Screen) -> None:
    at = fine(screen("fix", fix="function:SIF-501"))
    shown = said(at)
    assert "## One answer brings SIF-501 to its target with common cause, effort 1" in shown
    assert "Proven: no set with less effort is enough." in shown
    (row,) = rows(at, SET)
    assert (row["Question"], row["Of"], row["Effort"]) == ("TST1", "group:esv-501", "1")
    state = Live(store, 1).state()
    after = state.assessment.with_answers([Answer(question="TST1", of="group:esv-501", value="met")])
    rrf = 1.0 / after.function("SIF-501").cases.scored
    assert row["Alone"].startswith(f"SIF-501 RRF 260 → {round(rrf, -1):.0f}, ×")
    (result,) = rows(at, "Functions now")
    assert (result["Target"], result["Target met"]) == ("300", "after the set")


@pytest.mark.usefixtures("store")
def test_where_some_functions_cannot_the_others_are_planned(screen: Screen) -> None:
    at = fine(screen("fix", fix="plant"))
    assert "Answers alone do not bring SIF-401 to its target" in said(at)
    assert "One answer brings all 7 functions to their targets" in said(at)
    verdicts = {row["Function"]: row["Target met"] for row in rows(at, "Functions now")}
    assert (verdicts["SIF-401"], verdicts["SIF-501"], verdicts["SIF-301"]) == (
        "not by answers alone",
        "after the set",
        "already",
    )


@pytest.mark.usefixtures("store")
def test_the_cyber_scenario_says_that_it_is_a_house_rule(screen: Screen) -> None:
    at = fine(screen("fix", fix="function:SIF-301", case="adjusted"))
    assert "no standard gives this mapping" in said(at)
    assert any(row["Of"].startswith("zone:") for row in rows(at, SET))


def test_an_answer_given_in_a_session_changes_the_set(store: Store, screen: Screen) -> None:
    at = fine(screen("fix", fix="function:SIF-501"))
    say(store, 1, "TST1", "group:esv-501", evidence="reports 1 to 4")
    fine(at.run())
    assert "SIF-501 meets its target with common cause already" in said(at)
    assert not tables(at, SET)


def test_an_effort_that_is_entered_counts_for_everybody(
    store: Store, screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn: dict[str, pd.DataFrame] = {}
    monkeypatch.setattr(st, "data_editor", lambda frame, *, key, **_: drawn.update({key: frame}))
    at = unfold(screen("fix", fix="function:SIF-501"), "enter_efforts")
    (key,) = drawn
    place = drawn[key].index[(drawn[key]["Question"] == "TST1") & (drawn[key]["Of"] == "group:esv-501")][0]
    at.session_state[key] = {"edited_rows": {int(place): {"Effort": "40"}}}
    press(at, "Store efforts")
    assert "Efforts stored." in said(at)
    state = Live(store, 1).state()
    assert recorded_efforts.entered(state) == {("TST1", "group:esv-501"): 40.0}
    other = fine(screen("fix", who="TM-8", fix="function:SIF-501"))
    expected = plan.plan(state.assessment, ["SIF-501"], "scored", efforts=recorded_efforts.entered(state))
    assert f"effort {expected.effort:g}" in said(other)
    assert {(row["Question"], row["Of"]) for row in rows(other, SET)} == set(expected.actions)


def test_what_is_no_effort_is_refused_below_the_table(
    store: Store, screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn: list[str] = []
    monkeypatch.setattr(st, "data_editor", lambda _frame, *, key, **_: drawn.append(key))
    at = unfold(screen("fix", fix="function:SIF-501"), "enter_efforts")
    at.session_state[drawn[-1]] = {"edited_rows": {0: {"Effort": "-3"}}}
    press(at, "Store efforts")
    assert "effort -3; a number above 0" in said(at)
    assert recorded_efforts.entered(Live(store, 1).state()) == {}


def _record(at: AppTest, owner: str) -> AppTest:
    at.text_input(key="fix_actions_owner").set_value(owner)
    return press(at, "Record 1 action")


def test_one_press_makes_the_set_into_actions_and_a_second_one_is_not_offered(store: Store, screen: Screen) -> None:
    at = fine(screen("fix", fix="function:SIF-501"))
    (offer,) = rows(at, "Actions that would be recorded")
    assert offer["Recorded"] == "will be recorded"
    known = set(recorded_actions.held(Live(store, 1).state()))
    assert "owner: missing" in said(_record(at, ""))
    assert "1 action recorded" in said(_record(at, "test engineer"))
    held = recorded_actions.held(Live(store, 1).state())
    (action,) = [held[key] for key in held if key not in known]
    assert (action.owner, action.system, action.answer_to) == ("test engineer", "S50", "met")
    assert [(asked.question, asked.of) for asked in action.questions] == [("TST1", "group:esv-501")]
    again = fine(screen("fix", fix="function:SIF-501"))
    (offer,) = rows(again, "Actions that would be recorded")
    assert offer["Recorded"] == f"no: {action.id} is open for it"
    assert not [button for button in again.button if button.label.startswith("Record")]
    (row,) = rows(again, SET)
    assert row["Open action"] == action.id


def _missed(team: Team) -> None:
    """SIF-301 falls short, half way to what it reaches with every answer met."""
    for question in ("TST1", "DIV3", "DIV4", "ENV2", "CPX3", "SEP4"):
        team.say(question, "group:pt-301", "not-met", evidence="the secret place")
    now = team.now()
    planned = plan.plan(now.assessment, ["SIF-301"], "scored", efforts={})
    before, together = planned.shown(planned.before)["SIF-301"], planned.shown(planned.together)["SIF-301"]
    assert together > before * 1.1
    harder = now.plant.functions["SIF-301"].model_copy(update={"target_rrf": (before * together) ** 0.5})
    team.change(now.plant.model_copy(update={"functions": {**now.plant.functions, "SIF-301": harder}}))


def test_a_reader_who_raises_no_actions_is_told_why_none_is_offered(team: Team, screen: Screen) -> None:
    _missed(team)
    at = as_(screen("fix", fix="function:SIF-301"), "IA-1", ASSESSOR)
    assert "none is offered to your role" in said(at)
    assert rows(at, SET)
    assert not [button for button in at.button if button.label.startswith("Record")]


def test_a_viewer_sees_no_answer(team: Team, screen: Screen) -> None:
    _missed(team)
    at = as_(screen("fix", fix="function:SIF-301"), "VW-1", VIEWER)
    assert "Nothing is shown here" in said(at)
    assert not tables(at, SET)


def test_a_disputed_answer_says_so(team: Team, screen: Screen) -> None:
    _missed(team)
    team.say("DIV3", "group:pt-301", "partly")
    answer_records.record_dissent(team.live, LEADS, ("DIV3", "group:pt-301"), DISSENT)
    at = as_(screen("fix", fix="function:SIF-301"), "FA-1", FACILITATOR, MEMBER)
    answers = {row["Question"]: row["Answer"] for row in [*rows(at, SET), *_others(at)] if row["Of"] == "group:pt-301"}
    assert answers["DIV3"] == "Not met, disputed"


def _others(at: AppTest) -> list[dict[str, Any]]:
    return rows(at, OTHERS) if tables(at, OTHERS) else []


def test_the_figures_are_those_of_the_assessment(store: Store, screen: Screen) -> None:
    at = fine(screen("fix", fix="function:SIF-303", case="adjusted"))
    assessment: Assessment = Live(store, 1).state().assessment
    (row,) = rows(at, "Functions now")
    shown = float(row["Now"].replace(",", ""))
    assert shown == pytest.approx(1.0 / assessment.function("SIF-303").cases.adjusted, rel=0.05)


@pytest.mark.usefixtures("store")
def test_the_order_is_checked_against_the_house_rules_on_demand(screen: Screen) -> None:
    at = fine(screen("fix", fix="function:SIF-301", case="adjusted"))
    assert "Order" not in rows(at, SET)[0]
    fine(at.toggle(key="house_rules").set_value(True).run())
    orders = {row["Order"] for row in [*rows(at, SET), *_others(at)]}
    assert orders == {"depends on a house rule", "the same"}
