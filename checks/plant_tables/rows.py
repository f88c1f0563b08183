"""A plant as rows of text, sheet by sheet: what a grid shows and a workbook holds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from checks.plant_tables import cell_lists, cell_values
from checks.plant_tables.columns import BLOCK, SHEETS, Column
from checks.plantfile.plant import Plant

Row = Mapping[str, str]
"""Texts of one row by the key of their column; a column without a text is empty."""


BLOCKS = {"Tests": {"groups"}, "Plant": {"plant", "conventions"}, "Functions": {"functions", "systems"}}
"""Blocks of the plant file that a sheet needs, where it is not its own block alone."""


def of_plant(plant: Plant) -> dict[str, list[Row]]:
    """The rows of each sheet; reading them gives the same plant."""
    return {sheet: of_sheet(plant, sheet) for sheet in SHEETS}


def of_sheet(plant: Plant, sheet: str) -> list[Row]:
    """The rows of one sheet."""
    needed = BLOCKS[sheet] if sheet in BLOCKS else {BLOCK[sheet]}
    return list(_rows(sheet, plant.model_dump(mode="json", include=needed)))


def _rows(sheet: str, data: Mapping[str, Any]) -> Iterator[Row]:
    if sheet == "Plant":
        yield _row(sheet, {**data["plant"], "conventions": data["conventions"]})
        return
    if sheet == "Tests":
        for key, group in data["groups"].items():
            yield from (_row(sheet, {"group": key, **test}) for test in group["tests"])
        return
    owners = {name: key for key, system in data.get("systems", {}).items() for name in system["functions"]}
    for key, entry in data[BLOCK[sheet]].items():
        more = {"system": owners.get(key)} if sheet == "Functions" else {}
        yield _row(sheet, {"id": key, **entry, **more})


def _row(sheet: str, entry: Mapping[str, Any]) -> Row:
    texts = ((column.key, _text(column, _inside(entry, column.key))) for column in SHEETS[sheet])
    return {key: text for key, text in texts if text}


def _inside(entry: Mapping[str, Any], key: str) -> Any:
    """The value at a dotted key; None where a part of it is missing."""
    value: Any = entry
    for step in key.split("."):
        value = value.get(step) if isinstance(value, Mapping) else None
    return value


def _text(column: Column, value: Any) -> str:
    if column.kind == "ids":
        return cell_lists.written(column.key, value or ())
    text = cell_values.written(column, value)
    return "" if text == column.default and column.key != "programmable" else text
