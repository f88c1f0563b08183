"""Sheets put into a plant: nothing changes that nobody changed, and each fault is at its cell."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings

from checks.plant_tables import rows
from checks.plant_tables.draft import draft
from checks.plant_tables.entries import Sheet, read
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from demo.load import PLANT
from tests.checks.draws import plants
from tests.checks.given import plain_2, plain_with_element, valid_plant
from tests.checks.plant_tables.tables import as_entries, changed, without_entries

EVERYTHING = Plant.model_validate(plain_2())
WITH_ELEMENT = Plant.model_validate(plain_with_element())
DEMO = plant_file.read(PLANT)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(plant=plants())
def test_the_rows_of_any_plant_put_back_give_the_same_plant(plant: Plant) -> None:
    assert draft(plant, as_entries(rows.of_plant(plant)), whole=True).plant == plant


@pytest.mark.parametrize(
    "plant", [EVERYTHING, WITH_ELEMENT, DEMO, valid_plant()], ids=["format 2", "element", "demo", "format 1"]
)
def test_the_rows_of_a_plant_put_into_an_empty_one_give_it_again(plant: Plant) -> None:
    found = draft(without_entries(plant), as_entries(rows.of_plant(plant)), whole=False)
    assert found.faults == ()
    assert found.plant == plant


FAULTS = [
    ("Devices", 0, {"lambda_du_fit": "abc"}, "lambda_du_fit", "no number"),
    ("Devices", 0, {"lambda_du_fit": "0.0001"}, "lambda_du_fit", "0.001 to 1,000,000"),
    ("Groups", 0, {"voting": "2oo4"}, "channels", "one list for each channel"),
    ("Groups", 0, {"channels": "PT; PT; XX"}, "channels", "XX is not among the devices"),
    ("Groups", 0, {"proof_test__coverage": "1.5"}, "proof_test.coverage", "90 % = 0.9"),
    ("Groups", 0, {"zone": "nowhere"}, "zone", "known zones"),
    ("Groups", 0, {"mttr_h": ""}, "mttr_h", "missing"),
    ("Groups", 2, {"stated_result__source": ""}, "stated_result.source", "requires the source"),
    ("Groups", 0, {"id": "p t"}, "id", "not a valid id"),
    ("Tests", 0, {"coverage": "0.5"}, "coverage", "at least what a more frequent one finds"),
    ("Tests", 1, {"devices": "PT"}, "devices", "is in no channel"),
    ("Functions", 0, {"groups": "pt; nix"}, "groups", "nix is not among the groups"),
    ("Functions", 0, {"target_sil": ""}, "target_rrf", "target_sil in format 2"),
    ("Conduits", 0, {"between": "sis"}, "between", "two zone ids"),
    ("Zones", 0, {"sl_target__IAC": "7"}, "sl_target.IAC", "levels 0 to 4"),
    ("Plant", 0, {"conventions__mission_h": "10"}, "conventions.mission_h", "15 years"),
]


@pytest.mark.parametrize(("sheet", "at", "cells", "key", "words"), FAULTS)
def test_a_fault_is_named_at_its_cell(sheet: str, at: int, cells: dict[str, str], key: str, words: str) -> None:
    found = changed(EVERYTHING, sheet, at, **cells)
    assert found.plant is None
    listed = [(fault.sheet, fault.row, fault.key, f"{fault.found}; {fault.allowed}") for fault in found.at_cells]
    assert any(fault[:3] == (sheet, at + 1, key) and words in fault[3] for fault in listed), listed


def test_all_faults_are_named_in_one_go() -> None:
    tables = {sheet: [dict(row) for row in lines] for sheet, lines in rows.of_plant(EVERYTHING).items()}
    tables["Devices"][0]["lambda_du_fit"] = "x"
    tables["Groups"][0]["voting"] = "9oo9"
    tables["Functions"][0]["demand"] = "sometimes"
    found = draft(EVERYTHING, as_entries(tables), whole=True)
    assert {(fault.sheet, fault.key) for fault in found.at_cells} >= {
        ("Devices", "lambda_du_fit"),
        ("Groups", "voting"),
        ("Functions", "demand"),
    }


def test_a_second_row_with_the_same_id_and_a_row_without_one_are_faults() -> None:
    tables = rows.of_plant(EVERYTHING)
    tables["Devices"] = [*tables["Devices"], {"id": "PT", "lambda_du_fit": "1"}, {"name": "nobody"}]
    faults = draft(EVERYTHING, as_entries(tables), whole=True).at_cells
    assert [(fault.row, fault.found) for fault in faults] == [(6, "PT is already in row 1"), (7, "missing")]


def test_a_sheet_with_few_columns_keeps_the_others() -> None:
    sheet = Sheet("Devices", ((2, {"id": "PT", "lambda_du_fit": "500"}),), ("id", "lambda_du_fit"))
    found = draft(EVERYTHING, [read(sheet)], whole=False).plant
    assert found is not None
    assert found.devices["PT"].lambda_du_fit == 500.0
    assert found.devices["PT"].name == "Pressure transmitter"
    assert found.devices.keys() == EVERYTHING.devices.keys()


def test_an_empty_cell_of_a_column_removes_the_value() -> None:
    found = changed(EVERYTHING, "Devices", 0, name="").plant
    assert found is not None
    assert found.devices["PT"].name == ""


def test_a_function_moves_to_another_system() -> None:
    found = changed(EVERYTHING, "Functions", 0, system="S9").plant
    assert found is not None
    assert found.systems["S1"].functions == ["SIF-2", "SIF-3"]
    assert found.systems["S9"].functions == ["SIF-1"]


def test_what_a_whole_sheet_does_not_name_is_gone_and_its_function_leaves_the_system() -> None:
    tables = {sheet: list(lines) for sheet, lines in rows.of_plant(EVERYTHING).items()}
    tables["Functions"] = tables["Functions"][1:]
    found = draft(EVERYTHING, as_entries(tables), whole=True).plant
    assert found is not None
    assert list(found.functions) == ["SIF-2", "SIF-3"]
    assert found.systems["S1"].functions == ["SIF-2", "SIF-3"]
