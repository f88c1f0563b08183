"""Set-up screen: a guided new function, faults at their cells, what a change does, saving and undo."""

from __future__ import annotations

from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from checks.access.roles import ASSESSOR
from checks.journal.store import Store
from checks.plant_tables import rows
from checks.recording import plant_setup
from checks.state.live import Live
from pages.plant import drafts
from pages.plant.drafts import PlantDraft
from tests.checks.team import LEADS
from tests.pages.at_the_screen import as_, unfold
from tests.pages.shown import Screen, fine, said, unescaped
from tests.pages.shown import rows as shown_rows

FUNCTION: dict[str, str] = {
    "id": "SIF-901",
    "name": "High level stops the pump",
    "target": "SIL 1",
    "sensor id": "lt-901",
    "logic id": "ls-901",
    "final id": "xv-901",
}
DEVICES = {"sensor": "LTD", "logic": "LS", "final": "ESV"}


def _data(store: Store) -> int:
    return Live(store, 1).state().version.data


def _filled(at: AppTest, **more: str) -> AppTest:
    """The form of a new function, filled in with devices of the plant."""
    for field, text in {**FUNCTION, **more}.items():
        at.text_input(key=f"new_function_{field}").set_value(text)
    for part, device in DEVICES.items():
        at.multiselect(key=f"new_function_{part} devices").set_value([device])
    return at.run()


def _added(at: AppTest) -> AppTest:
    at.button(key="new_function_button Add it to the draft").click().run()
    return fine(at)


def test_a_guided_function_is_in_the_draft_then_stored_as_one_event(store: Store, screen: Screen) -> None:
    count = Live(store, 1).state().version.last
    at = _added(_filled(fine(screen("set-up"))))
    assert "4 new, 0 changed, 0 gone; 1 result different." in said(at)
    assert {row["Entry"] for row in shown_rows(at, "Entries that are new")} == {"SIF-901", "lt-901", "ls-901", "xv-901"}
    assert Live(store, 1).state().version.last == count, "nothing is stored before Save"
    fine(at.button(key="save_plant").click().run())
    state = Live(store, 1).state()
    assert state.version.last == count + 1
    assert state.plant.functions["SIF-901"].target == 10.0
    assert state.plant.groups["lt-901"].arrangement == "2oo3"
    assert "SIF-901" in state.plant.systems["S20"].functions


def test_a_fault_is_named_at_its_cell_and_nothing_can_be_saved(screen: Screen, store: Store) -> None:
    before = _data(store)
    at = _added(_filled(fine(screen("set-up")), **{"sensor interval": "sometimes", "target": "SIL 9"}))
    shown = said(at)
    assert "**Groups, row 18, Proof-test interval**: sometimes: no number" in shown
    assert "**Functions, row 9, Target SIL**: found 9; allowed: 1, 2, 3 or 4" in shown
    assert at.button(key="save_plant").disabled
    fine(at.button(key="discard_plant").click().run())
    assert "to correct before saving" not in said(at)
    assert _data(store) == before


@pytest.mark.usefixtures("store")
def test_what_names_the_parts_is_missed_in_one_go(screen: Screen) -> None:
    at = fine(screen("set-up"))
    at.button(key="new_function_button Add it to the draft").click().run()
    (error,) = [unescaped(message.value) for message in at.error]
    assert all(words in error for words in ("Function id: missing", "Sensors: group: missing", "Final elements: group"))


def _with_draft(at: AppTest, store: Store, sheet: str, change: Any) -> AppTest:
    """The screen with rows of one sheet changed, as the grid hands them over."""
    state = Live(store, 1).state()
    lines = [dict(row) for row in rows.of_plant(state.plant)[sheet]]
    change(lines)
    own = at.session_state["own"]
    own[drafts.DRAFT] = PlantDraft(1, state.version.data, {sheet: lines}, 1)
    at.query_params["sheet"] = sheet
    return fine(at.run())


def test_a_change_says_which_results_move_and_which_sign_offs_it_invalidates(store: Store, screen: Screen) -> None:
    at = fine(screen("set-up"))

    def longer(lines: list[dict[str, str]]) -> None:
        next(row for row in lines if row["id"] == "esv-301")["proof_test.interval_h"] = "2 y"

    _with_draft(at, store, "Groups", longer)
    (changed,) = shown_rows(at, "Entries that are new")
    assert (changed["Entry"], changed["Before"], changed["After"]) == ("esv-301", "8760", "17520")
    users = Live(store, 1).state().assessment.links.uses["esv-301"]
    assert {row["Function"] for row in shown_rows(at, "Results before and after")} == set(users)
    standing = Live(store, 1).state().records.revisions["S30"][-1]
    invalidates = f"This invalidates revision {standing.number} of S30"
    assert (invalidates in said(at)) == (standing.voided is None)


def test_one_entry_as_a_form_goes_into_the_draft(store: Store, screen: Screen) -> None:
    at = fine(screen("set-up", sheet="Devices"))
    unfold(at, "entry_form")
    at.text_input(key="entry_lambda_du_fit").set_value("1,5E3")
    fine(at.button(key="entry_button Put it into the draft").click().run())
    (changed,) = shown_rows(at, "Entries that are new")
    first = next(iter(Live(store, 1).state().plant.devices))
    assert (changed["Entry"], changed["Field"], changed["After"]) == (first, "Lambda DU [FIT]", "1500")
    fine(at.button(key="save_plant").click().run())
    assert Live(store, 1).state().plant.devices[first].lambda_du_fit == 1500.0


def test_undo_shows_what_it_does_and_brings_the_state_before_back(store: Store, screen: Screen) -> None:
    at = _added(_filled(fine(screen("set-up"))))
    fine(at.button(key="save_plant").click().run())
    unfold(at, "plant_states")
    assert "0 new, 0 changed, 4 gone" in said(at)
    fine(at.button(key="undo_plant").click().run())
    assert "SIF-901" not in Live(store, 1).state().plant.functions


def test_who_saves_second_is_told_and_keeps_the_draft(store: Store, screen: Screen) -> None:
    at = _added(_filled(fine(screen("set-up"))))
    live = Live(store, 1)
    plant_setup.save(live, LEADS, live.state().plant, seen=_data(store))
    at.button(key="save_plant").click().run()
    assert any("changed the plant data at" in message.value for message in at.error)
    assert "SIF-901" not in live.state().plant.functions
    assert "after you began this draft" in said(at)
    fine(at.button(key="discard_old").click().run())
    assert "after you began this draft" not in said(at)


@pytest.mark.usefixtures("store")
def test_an_assessor_sets_up_nothing(screen: Screen) -> None:
    assert "one of these roles is needed to import plant data" in said(as_(screen("set-up"), "IA-1", ASSESSOR))


@pytest.mark.usefixtures("store")
def test_unlikely_data_are_listed_and_refuse_nothing(screen: Screen) -> None:
    assert "Worth a second look" in said(fine(screen("set-up")))
