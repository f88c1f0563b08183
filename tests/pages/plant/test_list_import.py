"""A list brought in on screen: its columns, the preview, taking it over, and what is remembered."""

from __future__ import annotations

import io

import pytest
from openpyxl import load_workbook
from streamlit.testing.v1 import AppTest

from checks.access.roles import FACILITATOR, Person
from checks.journal.store import Store
from checks.plantfile import plant_file
from checks.recording import plant_setup
from checks.state.live import Live
from demo.load import PLANT
from tests.checks.journal.stored import plant_data
from tests.pages.at_the_screen import as_, press, unfold
from tests.pages.shown import Handed, Screen, fine, rows, said, unescaped, where

HEAD = "Tag;Service;DU (per million hours);DD (per million hours);Data sheet\n"
INDEX = f"{HEAD}PT;Pressure transmitter;0,9;0,85;PT-9 rev 2\nNEW;Valve;1,5;;\n"
DATA_SHEET = "Data sheet (not found)"


def _bring(at: AppTest, text: str | bytes, name: str = "index.csv") -> AppTest:
    raw = text.encode() if isinstance(text, str) else text
    at.file_uploader[0].upload(name, raw, "text/csv").run()
    assert not at.exception
    return at


def _choose(at: AppTest, label: str, value: str) -> AppTest:
    (box,) = [box for box in at.selectbox if unescaped(box.label) == label]
    return fine(box.set_value(value).run())


def test_a_list_is_corrected_previewed_and_taken_over_as_one_event(store: Store, screen: Screen) -> None:
    before = store.version(1)
    at = fine(_bring(fine(screen("bring")), INDEX))
    _choose(at, DATA_SHEET, "source")
    assert "1 new, 1 changed, 0 gone" in said(at)
    changes = {(row["Entry"], row["Field"]): (row["Before"], row["After"]) for row in rows(at, "Entries that are new")}
    assert changes["PT", "Source of the rates"][1] == "PT-9 rev 2"
    moved = {row["Function"]: row for row in rows(at, "Results before and after")}
    assert moved["SIF-301"]["Common cause, before"] != moved["SIF-301"]["Common cause, after"]
    assert any("invalidates revision" in unescaped(text.value) for text in at.warning)
    assert store.version(1) == before, "nothing is stored before it is taken over"
    fine(press(at, "Take over"))
    assert store.version(1).last == before.last + 1
    assert store.version(1).data == before.last + 1
    devices = plant_data(store, 1).devices
    assert (devices["NEW"].lambda_du_fit, devices["PT"].source) == (1500.0, "PT-9 rev 2")
    assert any(unescaped(text.value).startswith("Taken over: 1 new") for text in at.success)
    _bring(at, INDEX, "again.csv")
    assert [box.label for box in at.selectbox if unescaped(box.label) == DATA_SHEET] == []
    assert "Nothing is changed." in said(at), "the column is remembered"
    assert at.button(key="list_take").disabled


@pytest.mark.usefixtures("store")
def test_a_refused_row_is_named_at_its_cell_and_nothing_can_be_taken(screen: Screen) -> None:
    at = _bring(screen("bring"), f"{HEAD}LT;Level;abc;0,85;x\nXV;Valve;1,5;;\n")
    (fault,) = rows(at, "Faults of the list")
    assert (fault["Sheet"], fault["Row"], fault["Column"]) == ("index", "2", "DU (per million hours)")
    assert "abc" in fault["Found"]
    assert "list_take" not in [button.key for button in at.button]
    assert [message.value[:8] for message in at.error] == ["1 fault."]


@pytest.mark.parametrize(("sign", "rate"), [("comma", 1.5), ("point", 1500.0)])
def test_what_the_comma_means_is_asked_where_it_decides(store: Store, screen: Screen, sign: str, rate: float) -> None:
    at = _bring(screen("bring"), 'Device,Lambda DU,Lambda DD\nA,"1,500",\n')
    assert "Some numbers can be read in two ways" in said(at)
    fine(at.radio[0].set_value(sign).run())
    fine(press(at, "Take over"))
    assert plant_data(store, 1).devices["A"].lambda_du_fit == rate


def test_what_the_list_does_not_name_is_removed_only_by_choice(
    store: Store, screen: Screen, handed_over: Handed
) -> None:
    at = unfold(screen("bring"), "list_downloads")
    at.selectbox(key="list_csv_sheet").set_value("Conduits").run()
    lines = handed_over("plant-1-conduits.csv").splitlines()
    fine(_bring(at, b"\n".join(line for line in lines if not line.startswith(b"C5,")), "Conduits.csv"))
    assert "Nothing is changed." in said(at)
    fine(at.checkbox[0].check().run())
    assert "0 new, 0 changed, 1 gone" in said(at)
    fine(press(at, "Take over"))
    assert "C5" not in plant_data(store, 1).conduits
    assert len(plant_data(store, 1).conduits) == len(lines) - 2


def test_an_unknown_table_is_read_once_its_sheet_and_id_are_chosen(screen: Screen, store: Store) -> None:
    at = fine(_bring(screen("bring"), "Kennung,Werte\nA1,x\n"))
    assert "No table of this list is known" in said(at)
    _choose(at, "Sheet of index", "Zones")
    _choose(at, "Kennung (not found)", "id")
    fine(press(at, "Take over"))
    assert "A1" in plant_data(store, 1).zones


def test_a_list_that_somebody_overtook_is_compared_again_with_theirs(store: Store, screen: Screen) -> None:
    at = _bring(screen("bring"), INDEX)
    live = Live(store, 1)
    plant = live.state().plant
    device = plant.devices["PT"].model_copy(update={"lambda_du_fit": 77.0})
    theirs = plant.model_copy(update={"devices": {**plant.devices, "PT": device}})
    plant_setup.save(live, Person("FA-2", frozenset({FACILITATOR})), theirs, seen=store.version(1).data)
    press(at, "Take over")
    assert "FA-2 changed the plant data at" in said(at)
    assert plant_data(store, 1).devices["PT"].lambda_du_fit == 77.0
    changes = {(row["Entry"], row["Field"]): row["Before"] for row in rows(at, "Entries that are new")}
    assert changes["PT", "Lambda DU [FIT]"] == "77", "against their data"
    press(at, "Take over")
    assert plant_data(store, 1).devices["PT"].lambda_du_fit == 900.0


@pytest.mark.usefixtures("store")
def test_the_list_and_its_choices_stay_while_another_screen_is_visited(screen: Screen) -> None:
    at = _choose(_bring(screen("bring"), INDEX), DATA_SHEET, "source")
    own = at.session_state["own"]
    again = screen("bring")
    again.session_state["own"] = own
    fine(again.run())
    assert not again.file_uploader[0].value
    assert "1 new, 1 changed, 0 gone" in said(again)
    fine(press(again, "Put this list away"))
    assert "### index.csv" not in said(again)


@pytest.mark.usefixtures("store")
def test_a_file_that_is_no_list_says_what_it_is(screen: Screen) -> None:
    at = _bring(screen("bring"), PLANT.read_bytes(), "plant.yaml")
    assert [unescaped(message.value) for message in at.error] == [
        "Not read: this is a plant file; bring it under plant file."
    ]


def test_the_template_and_the_own_data_come_back_and_change_nothing(
    store: Store, screen: Screen, handed_over: Handed
) -> None:
    at = unfold(fine(screen("bring")), "list_downloads")
    assert "Devices" in load_workbook(io.BytesIO(handed_over("template.xlsx"))).sheetnames
    raw = handed_over("plant-1.xlsx")
    assert store.events(1, kinds=("export",))[-1].body == '{"what":"plant data as XLSX"}'
    fine(_bring(at, raw, "plant-1.xlsx"))
    assert "Nothing is changed." in said(at)


@pytest.mark.usefixtures("store")
def test_only_those_who_import_plant_data_bring_a_list(screen: Screen) -> None:
    at = as_(screen("bring"), "V-1", "viewer")
    assert not at.file_uploader
    assert "to import plant data" in said(at)


def test_a_newcomer_begins_with_a_spreadsheet(store: Store, screen: Screen) -> None:
    at = fine(screen("start"))
    at.text_input(key="begin_with_list_name").set_value("Own Works")
    fine(press(at, "Begin, and bring the list"))
    assert store.plants()[2] == "Own Works"
    assert "## Bring a list into Own Works" in said(at)
    assert (where(at, "plant") or "").startswith("2-")
    empty = plant_file.to_text(plant_data(store, 2))
    assert "devices: {}" in empty or "devices" not in empty
