"""A list brought in: its tables with their sheets and columns, their entries, and the draft that they make of a plant."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from checks.plant_tables import entries, list_file, matching
from checks.plant_tables.cell_values import Decimal
from checks.plant_tables.columns import SHEETS, keys
from checks.plant_tables.draft import Draft, draft
from checks.plant_tables.entries import Entries
from checks.plant_tables.list_file import Table
from checks.plant_tables.matching import NOT_READ, Chosen, Matched
from checks.plantfile.plant import Plant
from checks.text.faults import Fault, Refused

SIGNS: dict[str, Decimal] = {"": "", "comma": "comma", "point": "point"}
"""Decimal signs by their names."""


@dataclass(frozen=True)
class Choices:
    """What people chose for a list and what is remembered for its plant: sheets and columns, and the decimal sign."""

    chosen: Chosen = field(default_factory=Chosen)
    decimal: Decimal = ""

    def plain(self) -> dict[str, Any]:
        """As JSON or YAML data."""
        columns = {sheet: dict(heads) for sheet, heads in self.chosen.columns.items()}
        return {"sheets": dict(self.chosen.sheets), "columns": columns, "decimal": self.decimal}

    def over(self, earlier: Choices) -> Choices:
        """These choices, and the earlier ones where these say nothing."""
        mine, theirs = self.chosen, earlier.chosen
        sheets = dict.fromkeys((*theirs.columns, *mine.columns))
        columns = {sheet: {**theirs.columns.get(sheet, {}), **mine.columns.get(sheet, {})} for sheet in sheets}
        return Choices(Chosen({**theirs.sheets, **mine.sheets}, columns), self.decimal or earlier.decimal)


@dataclass(frozen=True)
class ReadList:
    """A list as read: its tables with their columns, the entries of each sheet, and the decimal sign used."""

    matched: tuple[Matched, ...]
    entries: tuple[Entries, ...]
    decimal: Decimal

    @property
    def undecided(self) -> bool:
        """Whether the decimal sign of the list decides how some cells are read."""
        return any(fault.decides for each in self.entries for fault in each.faults)

    @property
    def unread(self) -> list[tuple[str, str]]:
        """Heads that are not read, with the title of their table."""
        return [
            (each.table.title, match.head)
            for each in self.matched
            for match in each.matches
            if each.sheet and match.key == NOT_READ and match.head.strip()
        ]

    def choices(self) -> Choices:
        """The sheets and columns as they were read, to be remembered."""
        read = [each for each in self.matched if each.sheet]
        sheets = {each.table.title: each.sheet for each in read}
        columns = {each.sheet: {match.head: match.key for match in each.matches if match.head} for each in read}
        return Choices(Chosen(sheets, columns), self.decimal)


def read(tables: Sequence[Table], choices: Choices) -> ReadList:
    """Tables of a list with sheets and columns found or chosen.

    Of two tables for one sheet the one for which it was chosen is read, else the first.
    """
    found = [matching.matched(table, choices.chosen) for table in tables]
    owner: dict[str, Matched] = {}
    for each in sorted(found, key=lambda each: choices.chosen.sheets.get(each.table.title) != each.sheet):
        owner.setdefault(each.sheet, each)
    matched = [each if owner[each.sheet] is each else Matched(each.table, NOT_READ, 0, each.matches) for each in found]
    sheets = [matching.sheet_of(each) for each in matched if each.sheet]
    decimal = choices.decimal or entries.decimal_signs(sheets)
    return ReadList(tuple(matched), tuple(entries.read(sheet, decimal) for sheet in sheets), decimal)


def from_bytes(name: str, raw: bytes, choices: Choices) -> ReadList:
    """A list from the bytes of a file; raises Refused where no table of it could be read."""
    tables = list_file.read(name, raw)
    found = read(tables, choices)
    if not found.entries:
        titles = ", ".join(table.title for table in tables) or "none"
        allowed = f"a table with a column for the id, named like one of {', '.join(SHEETS)}; or choose its sheet"
        raise Refused(name, [Fault("(file)", f"no table is known among {titles}", allowed)])
    return found


def onto(plant: Plant, found: ReadList, *, whole: bool = False) -> Draft:
    """The draft of a plant with a list put in; ``whole``: what a sheet of the list does not name is removed."""
    return draft(plant, found.entries, whole=whole)


def choices_of(data: Any, name: str) -> Choices:
    """Choices from JSON or YAML data; raises Refused with what is wrong."""
    faults: list[Fault] = []
    raw = data if isinstance(data, dict) else {}
    if not isinstance(data, dict):
        faults.append(Fault("(file)", "no mapping", "sheets, columns and decimal"))
    faults += [Fault(key, "unknown key", "sheets, columns or decimal") for key in raw if key not in _CHOICES]
    sheets, columns = _mapping(raw, "sheets", faults), _mapping(raw, "columns", faults)
    for title, sheet in sheets.items():
        if sheet not in (*SHEETS, NOT_READ, None):
            faults.append(Fault(f"sheets.{title}", f"found {sheet}", f"one of {', '.join(SHEETS)}; empty: not read"))
    for sheet, heads in columns.items():
        if sheet not in SHEETS or not isinstance(heads, dict):
            faults.append(Fault(f"columns.{sheet}", "no sheet with its heads", f"one of {', '.join(SHEETS)}"))
            continue
        for head, key in heads.items():
            if key not in (*keys(sheet), NOT_READ, None):
                faults.append(
                    Fault(
                        f"columns.{sheet}.{head}", f"found {key}", f"one of {', '.join(keys(sheet))}; empty: not read"
                    )
                )
    decimal = raw.get("decimal") or ""
    if decimal not in SIGNS:
        faults.append(Fault("decimal", f"found {decimal}", "comma or point"))
    if faults:
        raise Refused(name, faults)
    chosen = Chosen(
        {str(title): sheet or NOT_READ for title, sheet in sheets.items()},
        {sheet: {str(head): key or NOT_READ for head, key in heads.items()} for sheet, heads in columns.items()},
    )
    return Choices(chosen, SIGNS[decimal])


_CHOICES = ("sheets", "columns", "decimal")


def _mapping(raw: Mapping[str, Any], key: str, faults: list[Fault]) -> dict[str, Any]:
    value = raw.get(key) or {}
    if not isinstance(value, dict):
        faults.append(Fault(key, "no mapping", "a mapping"))
        return {}
    return value
