"""The form that gives a group a beta method of its own: it says what it does, asks for a reason, and stores a plant-data change."""

from __future__ import annotations

import pytest
from streamlit.testing.v1 import AppTest

from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.recording import group_method
from checks.state.live import Live
from checks.text.number_format import percent
from tests.checks.team import LEADS
from tests.pages.at_the_screen import press, unfold
from tests.pages.shown import Screen, fine, rows, said

GROUP, REASON = "pt-301", "the machine's own assessment covers these sensors"
METHOD, LABEL = "upm-1996", "Unified partial method, 1996"
STORE = "Store this method"


def plant(store: Store) -> Plant:
    return Live(store, 1).state().plant


def form(screen: Screen) -> AppTest:
    at = fine(screen("redundancy", function="SIF-301", group=GROUP))
    return unfold(at, "group_method")


def choose(at: AppTest, method: str, reason: str = "") -> AppTest:
    (box,) = [one for one in at.selectbox if str(one.key).startswith("group_method_method")]
    fine(box.set_value(method).run())
    for field in at.text_input:
        if str(field.key).startswith("group_method_reason"):
            fine(field.set_value(reason).run())
    return at


def test_the_form_shows_what_it_does_and_stores_the_method_with_its_reason(store: Store, screen: Screen) -> None:
    before = Live(store, 1).state()
    at = form(screen)
    assert f"This is the method of {GROUP} now." in said(at)
    choose(at, METHOD, REASON)
    found = group_method.consequences(before, GROUP, METHOD, REASON)
    assert found.before is not None
    assert found.after is not None
    assert f"Beta of {GROUP}: {percent(found.before.beta)} → {percent(found.after.beta)}" in said(at)
    for invalidated in found.preview.invalidated:
        assert f"This invalidates revision {invalidated.number} of {invalidated.system}" in said(at)
    assert {row["Function"] for row in rows(at, "Results before and after")} == {
        move.function for move in found.preview.moves
    }
    assert plant(store) == before.plant, "nothing is stored before the button"
    press(at, STORE)
    assert group_method.chosen(plant(store), GROUP) == (METHOD, REASON)
    assert f"The method of {GROUP} is stored." in said(at)
    table = {row["Method"]: row for row in rows(at, f"Opinions on the beta of {GROUP}")}
    assert table[LABEL]["From"].startswith(
        f"chosen for this group: carries the result ({REASON}); upm-1996 edition 1; "
    )
    assert "second opinion here" in table["IEC 61508-6:2010 Annex D"]["From"]


def test_without_a_reason_it_is_refused_and_nothing_typed_is_lost(store: Store, screen: Screen) -> None:
    at = choose(form(screen), METHOD)
    press(at, STORE)
    assert "beta_method_reason: missing" in said(at)
    assert group_method.chosen(plant(store), GROUP) == ("", "")
    (box,) = [one for one in at.selectbox if str(one.key).startswith("group_method_method")]
    assert box.value == METHOD


@pytest.fixture
def chosen(store: Store) -> Store:
    live = Live(store, 1)
    group_method.choose(live, LEADS, GROUP, "iec62061-2005", REASON, seen=live.state().version.data)
    return store


@pytest.mark.usefixtures("chosen")
def test_the_session_asks_the_bank_of_the_group_first_and_shows_what_an_answer_does(screen: Screen) -> None:
    at = fine(screen("common-cause", group=GROUP))
    assert at.selectbox(key="choose_method").value == "iec62061"
    assert "question 1 of 14" in said(at)
    assert "method of this group: Machinery checklist, IEC 62061" in said(at)
    second = fine(screen("common-cause", group=GROUP, method="common_cause"))
    assert "The result rests on Machinery checklist, IEC 62061" in said(second)
    named = fine(screen("common-cause", group=GROUP, q="SEP1"))
    assert named.selectbox(key="choose_method").value == "common_cause"


@pytest.mark.usefixtures("chosen")
def test_what_to_fix_first_says_that_the_beta_is_held(screen: Screen) -> None:
    at = fine(screen("fix", fix="function:SIF-301"))
    assert f"The beta of {GROUP} is held: its method asks other questions, which are no actions here." in said(at)


def test_the_way_back_needs_no_reason(chosen: Store, screen: Screen) -> None:
    at = choose(form(screen), "")
    press(at, STORE)
    assert group_method.chosen(plant(chosen), GROUP) == ("", "")


@pytest.mark.usefixtures("chosen")
def test_the_next_group_is_asked_by_its_own_method_again(screen: Screen) -> None:
    at = fine(screen("common-cause", group=GROUP))
    fine(at.button(key="decisive").click().run())
    assert at.selectbox(key="choose_method").value == "iec62061"
    fine(at.button(key="next_group").click().run())
    assert at.query_params["group"] != [GROUP]
    assert not [box for box in at.selectbox if box.key == "choose_method" and box.value == "iec62061"]
