"""The workbook out and in."""

from __future__ import annotations

import io
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from openpyxl import load_workbook

from checks.plant_tables import list_import, template
from checks.plant_tables.columns import SHEETS
from checks.plant_tables.list_import import Choices
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.spreadsheets.cells import visible
from demo.load import PLANT
from tests.checks.draws import plants
from tests.checks.given import plain_2
from tests.checks.plant_tables.tables import through_workbook, without_entries

EVERYTHING = Plant.model_validate(plain_2())
DEMO = plant_file.read(PLANT)


def _storable(value: Any) -> Any:
    """Plain data with texts as a workbook can store them."""
    if isinstance(value, dict):
        return {key: _storable(part) for key, part in value.items()}
    if isinstance(value, list):
        return [_storable(part) for part in value]
    return visible(value) if isinstance(value, str) else value


@pytest.mark.parametrize("plant", [EVERYTHING, DEMO], ids=["format 2", "demo"])
def test_a_plants_own_data_come_back_and_change_nothing(plant: Plant) -> None:
    assert through_workbook(plant, plant).plant == plant
    found = through_workbook(plant, without_entries(plant))
    assert found.faults == ()
    assert found.plant == plant


@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(plant=plants())
def test_any_plant_comes_back_from_its_workbook(plant: Plant) -> None:
    stored = Plant.model_validate(_storable(plant.model_dump(mode="json")))
    assert through_workbook(stored, stored).plant == stored


def test_the_template_holds_every_sheet_with_units_choices_and_a_marked_example() -> None:
    book = load_workbook(io.BytesIO(template.empty()))
    assert book.sheetnames == ["About", *SHEETS]
    groups = book["Groups"]
    heads = [cell.value for cell in groups[1]]
    assert "Proof-test interval [h]" in heads
    assert all(cell.comment for cell in groups[1])
    listed = {choice.formula1 for choice in groups.data_validations.dataValidation}
    assert '"sensor,logic,final"' in listed
    assert groups.cell(2, 1).value == "(example) pt-1"


def test_the_template_as_it_is_brings_nothing() -> None:
    found = list_import.from_bytes("template.xlsx", template.empty(), Choices())
    assert [each.faults for each in found.entries] == [[]] * len(SHEETS)
    assert list_import.onto(EVERYTHING, found).plant == EVERYTHING
    assert found.unread == []


def test_one_sheet_as_csv_comes_back_too() -> None:
    for sheet in SHEETS:
        found = list_import.from_bytes(f"{sheet}.csv", template.sheet_as_csv(EVERYTHING, sheet), Choices())
        assert [each.sheet.name for each in found.entries] == [sheet]
        assert list_import.onto(EVERYTHING, found, whole=True).plant == EVERYTHING
