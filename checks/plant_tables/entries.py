"""From rows of text to entries of the plant file, with all faults at their cells."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from checks.plant_tables import cell_lists, cell_values
from checks.plant_tables.cell_values import Ambiguous, Decimal, Reading, Unreadable
from checks.plant_tables.columns import SHEETS, Column
from checks.plant_tables.rows import Row
from checks.spreadsheets.sheet import Formula

OWNER = {"Tests": "group", "Plant": "name"}
"""Column that names the entry of a row; ``id`` in every other sheet."""


@dataclass(frozen=True, slots=True)
class CellFault:
    """A fault at a cell: sheet, number of the row as people count it, key of the column, what was found and is allowed.

    ``decides``: the decimal sign of the list would decide it.
    """

    sheet: str
    row: int
    key: str
    found: str
    allowed: str
    decides: bool = False

    @property
    def place(self) -> str:
        """Its cell in words."""
        return f"{self.sheet}, row {self.row}, {self.key}"

    def __str__(self) -> str:
        return f"{self.place}: {self.found}; {self.allowed}"


@dataclass(frozen=True, slots=True)
class Sheet:
    """Rows of one sheet with their numbers, the columns that it has by key, and the unit that the head of a column names."""

    name: str
    rows: tuple[tuple[int, Row], ...]
    columns: tuple[str, ...]
    units: Mapping[str, str] = field(default_factory=dict)


@dataclass
class Entries:
    """What a sheet holds: values by id (a list of them for the tests of a group), the row of each, and the faults."""

    sheet: Sheet
    values: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    row_of: dict[str, list[int]] = field(default_factory=dict)
    faults: list[CellFault] = field(default_factory=list)


def read(sheet: Sheet, decimal: Decimal = "") -> Entries:
    """Entries of a sheet; ``decimal`` is the decimal sign of the list, empty where it is not known.

    An entry maps dotted keys to values; None stands for an empty cell of a column that the sheet has.
    """
    entries, owner = Entries(sheet), OWNER.get(sheet.name, "id")
    columns = [column for column in SHEETS[sheet.name] if column.key in sheet.columns]
    for number, row in sheet.rows:
        if not any(text.strip() for text in row.values()):
            continue
        key = row.get(owner, "") if owner == "name" else row.get(owner, "").strip()
        if not key:
            entries.faults.append(CellFault(sheet.name, number, owner, "missing", "each row names its id"))
            continue
        if sheet.name == "Plant" and entries.values:
            entries.faults.append(CellFault(sheet.name, number, owner, f"a second plant, {key}", "one row"))
            continue
        if owner == "id" and key in entries.values:
            earlier = entries.row_of[key][0]
            entries.faults.append(
                CellFault(sheet.name, number, owner, f"{key} is already in row {earlier}", "each id once")
            )
            continue
        values = {
            column.key: _value(entries, number, column, row, decimal) for column in columns if column.key != owner
        }
        entries.values.setdefault(key, []).append(values)
        entries.row_of.setdefault(key, []).append(number)
    return entries


def _value(entries: Entries, number: int, column: Column, row: Row, decimal: Decimal) -> Any:
    """Value of one cell; None for an empty one and for one with a fault."""
    text = row.get(column.key, "")
    if not (text if column.kind == "text" else text.strip()):
        return None
    if isinstance(text, Formula):
        found = f"the formula {text[:60]} without a stored value"
        entries.faults.append(CellFault(entries.sheet.name, number, column.key, found, column.allowed))
        return None
    reading = Reading(decimal, entries.sheet.units.get(column.key, ""))
    try:
        if column.kind == "ids":
            return cell_lists.value(column.key, text, reading)
        return cell_values.value(column, text, reading)
    except Unreadable as error:
        found = f"{error}" if str(error).startswith(text.strip()[:20]) else f"{text.strip()[:60]}: {error}"
        both = "write it with a decimal point, or say what the comma means in this list"
        allowed = both if isinstance(error, Ambiguous) else column.allowed
        fault = CellFault(entries.sheet.name, number, column.key, found, allowed, decides=isinstance(error, Ambiguous))
        entries.faults.append(fault)
        return None


def decimal_signs(sheets: Iterable[Sheet]) -> Decimal:
    """The decimal sign that numbers of a list show without doubt; empty where none or both do."""
    found: set[Decimal] = set()
    for sheet in sheets:
        numeric = {column.key for column in SHEETS[sheet.name] if column.kind in ("number", "fit", "hours", "share")}
        for _, row in sheet.rows:
            for key in numeric & row.keys():
                sign = cell_values.decimal_sign(row[key])
                if sign:
                    found.add(sign)
    return found.pop() if len(found) == 1 else ""
