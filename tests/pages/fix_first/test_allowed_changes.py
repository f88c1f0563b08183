"""Allowed changes on What to fix first: entered, priced, chosen, withdrawn, made into actions; small and large plants."""

from __future__ import annotations

from random import Random

import pytest
from streamlit.testing.v1 import AppTest

from checks.access.roles import ASSESSOR, VIEWER
from checks.actions import recorded_actions
from checks.allowed_changes.change import GroupChange, changed_plant
from checks.improvement import recorded_changes
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.state.live import Live
from tests.bench import fix_first as bench
from tests.checks.team import LEADS, Team
from tests.pages.at_the_screen import as_, press, unfold
from tests.pages.conftest import Holding
from tests.pages.shown import Screen, fine, rows, said, tables

SET, OTHERS, ALLOWED = "The cheapest set", "Open answers, those", "Allowed changes of tests and voting"
SHORTER = GroupChange("xv-401", "interval", "", "8760")
PLACE = "interval of xv-401, 17520 h now"


def _enter(at: AppTest, place: str, to: str, effort: str, reason: str = "") -> AppTest:
    """Allow a change with the form."""
    (chooser,) = [box for box in at.selectbox if box.key.startswith("allow_place")]
    chooser.set_value(place)
    for name, text in (("to", to), ("effort", effort), ("reason", reason)):
        (field,) = [box for box in at.text_input if box.key.startswith(f"allow_{name}")]
        field.set_value(text)
    return press(at, "Allow change")


def test_a_change_that_is_allowed_brings_a_function_to_its_target_and_becomes_an_action(
    store: Store, screen: Screen
) -> None:
    at = unfold(screen("fix", fix="function:SIF-401"), "allow_changes")
    assert "Answers alone do not bring SIF-401" in said(at)
    assert not tables(at, ALLOWED)
    _enter(at, PLACE, "8760", "3", "tested at each shutdown")
    assert "Change allowed." in said(at)
    state = Live(store, 1).state()
    assert recorded_changes.fitting_now(state, ["xv-401"]) == {SHORTER: 3.0}
    after = state.assessment.with_plant(changed_plant(state.plant, [SHORTER])).function("SIF-401")
    assert after.meets("scored"), "half the interval of the single valve is enough"
    shown = said(at)
    assert "## One change brings SIF-401 to its target with common cause, effort 3" in shown
    assert "Interval of xv-401: 17520 → 8760 h. Proven: no set with less effort is enough." in shown
    assert "### The set: 1 change, effort 3" in shown
    (chosen,) = rows(at, SET)
    assert (chosen["Question"], chosen["Of"], chosen["Answer"]) == ("Change", "group:xv-401", "17520 → 8760")
    (row,) = rows(at, ALLOWED)
    assert (row["Change"], row["Effort"], row["Counts"]) == ("interval of xv-401: 17520 → 8760 h", "3", "yes")
    assert row["Why"] == "tested at each shutdown"
    assert row["Alone"] == chosen["Alone"]
    assert row["Alone"].startswith("SIF-401 RRF ")
    (offer,) = rows(at, "Actions that would be recorded")
    assert (offer["From"], offer["Expected"]) == ("17520", "8760")
    at.text_input(key="fix_actions_owner").set_value("maintenance")
    known = set(recorded_actions.held(state))
    press(at, "Record 1 action")
    held = recorded_actions.held(Live(store, 1).state())
    (action,) = [held[key] for key in held if key not in known]
    assert action.what == "interval of xv-401: 17520 → 8760 h (tested at each shutdown)"
    assert (action.owner, action.system, str(action.plant_change)) == (
        "maintenance",
        "S40",
        "interval of xv-401: 17520 → 8760 h",
    )


def test_what_does_not_fit_is_refused_below_the_form(store: Store, screen: Screen) -> None:
    at = unfold(screen("fix", fix="function:SIF-401"), "allow_changes")
    press(at, "Allow change")
    assert "what changes: nothing chosen" in said(at)
    _enter(at, "voting of pt-401, 1oo2 now", "2oo4", "much")
    assert "to: 2oo4 has 4 channels; a voting of its 2 channels: 1oo2, 2oo2" in said(at)
    assert "effort: much; a number above 0" in said(at)
    assert recorded_changes.standing(Live(store, 1).state()) == {}


def test_a_withdrawn_change_is_no_action_any_more(store: Store, screen: Screen) -> None:
    recorded_changes.allow(
        Live(store, 1), LEADS, {"group": "xv-401", "change": "interval", "to": "8760", "effort": "3"}
    )
    at = unfold(screen("fix", fix="function:SIF-401"), "allow_changes")
    assert rows(at, SET)
    press(at, "Withdraw change")
    assert "Change withdrawn." in said(at)
    assert not tables(at, ALLOWED)
    assert "Answers alone do not bring SIF-401" in said(at)
    assert recorded_changes.standing(Live(store, 1).state()) == {}


def test_a_change_that_the_plant_has_by_now_says_that_it_counts_no_more(team: Team, screen: Screen) -> None:
    texts = {"group": "pt-301", "change": "interval", "to": "4380", "effort": "3"}
    recorded_changes.allow(team.live, LEADS, texts)
    team.change(changed_plant(team.now().plant, [GroupChange("pt-301", "interval", "", "4380")]))
    at = unfold(screen("fix", fix="function:SIF-301"), "allow_changes")
    (row,) = rows(at, ALLOWED)
    assert (row["Counts"], row["Alone"]) == ("no: 4380 is what pt-301 has", "–")


def test_who_raises_no_actions_reads_the_changes_and_a_viewer_sees_none(team: Team, screen: Screen) -> None:
    recorded_changes.allow(team.live, LEADS, {"group": "pt-301", "change": "interval", "to": "4380", "effort": "3"})
    at = unfold(as_(screen("fix", fix="function:SIF-301"), "IA-1", ASSESSOR), "allow_changes")
    assert rows(at, ALLOWED)
    assert "allowed by those who raise actions" in said(at)
    assert not [button for button in at.button if button.label == "Allow change"]
    at = as_(screen("fix", fix="function:SIF-301"), "VW-1", VIEWER)
    assert not tables(at, ALLOWED)


def _of_many(functions: int) -> Plant:
    """Eight functions of the bench, repeated with their groups, so that a system has many of them."""
    plant = bench._plant(Random(3))  # noqa: S311, SLF001  (a generated plant, no secret)
    copies = range(functions // len(plant.functions))
    groups = {f"{key}-{at}": group for at in copies for key, group in plant.groups.items()}
    named = {
        f"{key}-{at}": function.model_copy(update={"groups": [f"{name}-{at}" for name in function.group_ids]})
        for at in copies
        for key, function in plant.functions.items()
    }
    systems = {"S1": plant.systems["S1"].model_copy(update={"functions": list(named)})}
    answers = [answer for answer in plant.answers if not answer.of.startswith(("group", "system"))]
    return plant.model_copy(update={"groups": groups, "functions": named, "systems": systems, "answers": answers})


@pytest.mark.parametrize("functions", [8, 80])
def test_a_large_plant_is_drawn_with_its_changes(holding: Holding, screen: Screen, functions: int) -> None:
    store = holding(_of_many(functions))
    for at in range(3):
        texts = {"group": f"g{at}-0", "change": "interval", "to": "4380", "effort": "2"}
        recorded_changes.allow(Live(store, 1), LEADS, texts)
    at = unfold(fine(screen("fix", fix="system:S1")), "allow_changes")
    assert [row["Effort"] for row in rows(at, ALLOWED)] == ["2"] * 3
    (chooser,) = [box for box in at.selectbox if box.key.startswith("allow_place")]
    assert "interval of g0-0, 8760 h now" in chooser.options
    assert len(chooser.options) == 27 * functions // 8
