"""Rows of a plant as entries, through memory, a workbook or CSV."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from checks.plant_tables import entries, list_import, rows, template
from checks.plant_tables.columns import SHEETS, keys
from checks.plant_tables.draft import Draft, draft
from checks.plant_tables.entries import Entries, Sheet
from checks.plant_tables.list_import import Choices
from checks.plant_tables.rows import Row
from checks.plantfile.plant import Plant


def as_entries(tables: Mapping[str, Sequence[Row]]) -> list[Entries]:
    """Entries of whole tables, as a grid hands them over; the first row is row 1."""
    return [entries.read(Sheet(name, tuple(enumerate(lines, start=1)), keys(name))) for name, lines in tables.items()]


def changed(plant: Plant, sheet: str, at: int, **cells: str) -> Draft:
    """The draft of a plant with some cells of one row changed; dots in keys are double underscores."""
    tables = rows.of_plant(plant)
    lines: list[Any] = [dict(row) for row in tables[sheet]]
    lines[at] |= {key.replace("__", "."): text for key, text in cells.items()}
    return draft(plant, as_entries({**tables, sheet: lines}), whole=True)


def through_workbook(plant: Plant, onto: Plant) -> Draft:
    """A plant's own workbook brought into a plant."""
    return list_import.onto(onto, list_import.from_bytes("own.xlsx", template.of_plant(plant), Choices()))


def without_entries(plant: Plant) -> Plant:
    """A plant without any entry."""
    blocks = ("devices", "groups", "functions", "systems", "zones", "conduits")
    return plant.model_copy(update={block: {} for block in blocks})


ALL = tuple(SHEETS)
