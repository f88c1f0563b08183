"""A draft of plant data: the stored plant with changed sheets put in, checked as a whole, with faults at their cells."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from checks.plant_tables.columns import BLOCK, keys
from checks.plant_tables.entries import OWNER, CellFault, Entries
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.text.faults import Fault
from checks.text.yaml_text import Place

SHEET = {block: sheet for sheet, block in BLOCK.items()}
"""Sheet of a block of the plant file."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A draft: the plant where it is valid, else its faults: at cells of the sheets, and elsewhere in the plant."""

    plant: Plant | None
    at_cells: tuple[CellFault, ...]
    elsewhere: tuple[Fault, ...]
    unlisted: int = 0

    @property
    def faults(self) -> tuple[CellFault | Fault, ...]:
        """All faults listed."""
        return (*self.at_cells, *self.elsewhere)


def draft(plant: Plant, sheets: Iterable[Entries], *, whole: bool) -> Draft:
    """A plant with sheets put in; ``whole``: an entry that its sheet does not name is removed.

    A column that a sheet does not have keeps its values; an empty cell removes its value.
    """
    entries = {each.sheet.name: each for each in sheets}
    data = plain_data(plant)
    order = [
        name
        for name in ("Plant", "Systems", "Zones", "Conduits", "Devices", "Groups", "Tests", "Functions")
        if name in entries
    ]
    for name in order:
        _put_in(data, entries[name], whole=whole)
    cells = [fault for each in entries.values() for fault in each.faults]
    checked, faults, unlisted = plant_file.entered(data)
    placed = [(place, fault, _cell(place, fault, entries)) for place, fault in faults]
    spoiled = {(fault.sheet, fault.row, fault.key) for fault in cells}
    at_cells = [cell for _, _, cell in placed if cell and (cell.sheet, cell.row, cell.key) not in spoiled]
    elsewhere = tuple(fault for _, fault, cell in placed if cell is None)
    whole_plant = checked if not cells and checked is not None else None
    return Draft(whole_plant, (*cells, *at_cells), () if cells else elsewhere, unlisted)


def plain_data(plant: Plant) -> dict[str, Any]:
    """Plain data of a plant file without the values that the plant has by default; answers stay as they are."""
    data = plant_file.plain(plant)
    for block in ("zones", "conduits", "systems", "devices", "groups", "functions"):
        data.setdefault(block, {})
    return data


def _put_in(data: dict[str, Any], entries: Entries, *, whole: bool) -> None:
    name = entries.sheet.name
    if name == "Plant":
        for key, (values, *_) in entries.values.items():
            _put_plant(data, {"name": key, **values})
    elif name == "Tests":
        _put_tests(data, entries, whole=whole)
    else:
        _put_block(data[BLOCK[name]], entries, whole=whole)
    if name == "Systems":
        for system in data["systems"].values():
            system.setdefault("functions", [])
    if name == "Functions":
        _put_systems(data, entries)


def _put_block(block: dict[str, Any], entries: Entries, *, whole: bool) -> None:
    """The entries of a sheet into their block; the system of a function is no field of it."""
    if whole:
        for key in [key for key in block if key not in entries.values]:
            del block[key]
    for key, (values, *_) in entries.values.items():
        entry = block.setdefault(key, {})
        for column, value in values.items():
            if (entries.sheet.name, column) != ("Functions", "system"):
                _set(entry, column.split("."), value)


def _put_plant(data: dict[str, Any], values: Mapping[str, Any]) -> None:
    """Name, note and conventions of the plant."""
    for column, value in values.items():
        path = column.split(".")
        _set(data if path[0] == "conventions" else data["plant"], path, value)
    data.setdefault("conventions", {})


def _set(entry: dict[str, Any], path: Sequence[str], value: Any) -> None:
    """Put a value at a path; None removes it, and a mapping that becomes empty."""
    step, *rest = path
    if rest:
        inner = entry.get(step)
        inner = dict(inner) if isinstance(inner, Mapping) else {}
        _set(inner, rest, value)
        value = inner or None
    if value is None:
        entry.pop(step, None)
    else:
        entry[step] = value


def _put_tests(data: dict[str, Any], entries: Entries, *, whole: bool) -> None:
    """The tests of a group in a sheet take the place of those it had."""
    groups: dict[str, Any] = data["groups"]
    for key, group in groups.items():
        if whole and key not in entries.values:
            group.pop("tests", None)
    for key, tests in entries.values.items():
        group = groups.setdefault(key, {})
        group["tests"] = [{column: value for column, value in test.items() if value is not None} for test in tests]


def _put_systems(data: dict[str, Any], entries: Entries) -> None:
    """Systems of functions, from their column; a function that is gone belongs to none."""
    systems: dict[str, Any] = data["systems"]
    for system in systems.values():
        system["functions"] = [name for name in system.get("functions", []) if name in data["functions"]]
    if "system" not in entries.sheet.columns:
        return
    for name, (values, *_) in entries.values.items():
        wanted = values.get("system")
        for key, system in systems.items():
            if key != wanted and name in system["functions"]:
                system["functions"] = [other for other in system["functions"] if other != name]
        if wanted is not None:
            members = systems.setdefault(wanted, {"functions": []})["functions"]
            if name not in members:
                members.append(name)


def _cell(place: Place, fault: Fault, entries: Mapping[str, Entries]) -> CellFault | None:
    """The cell of a fault; None where no sheet holds its place."""
    block, *rest = place or ("",)
    if block in ("plant", "conventions") and "Plant" in entries:
        numbers = next(iter(entries["Plant"].row_of.values()), [1])
        key = str(rest[0]) if block == "plant" and rest else ".".join(map(str, place[:2]))
        return CellFault("Plant", numbers[0], key if key in keys("Plant") else "name", fault.found, fault.allowed)
    sheet, inside = SHEET.get(str(block), ""), [str(step) for step in rest]
    if not inside:
        return None
    if sheet == "Groups" and inside[1:2] == ["tests"] and "Tests" in entries:
        return _of_test(entries["Tests"], inside, fault)
    if sheet not in entries or inside[0] not in entries[sheet].row_of:
        return None
    row, known = entries[sheet].row_of[inside[0]][0], keys(sheet)
    for length in range(len(inside), 0, -1):
        key = ".".join(inside[1:length])
        if key in known:
            return CellFault(sheet, row, key, fault.found, fault.allowed)
    inner = next((key for key in known if inside[1:2] and key.startswith(f"{inside[1]}.")), OWNER.get(sheet, "id"))
    return CellFault(sheet, row, inner, fault.found, fault.allowed)


def _of_test(entries: Entries, inside: Sequence[str], fault: Fault) -> CellFault | None:
    rows = entries.row_of.get(inside[0])
    if not rows:
        return None
    at = int(inside[2]) if len(inside) > 2 and inside[2].isdigit() else 0
    key = inside[3] if len(inside) > 3 and inside[3] in keys("Tests") else "group"
    return CellFault("Tests", rows[min(at, len(rows) - 1)], key, fault.found, fault.allowed)
