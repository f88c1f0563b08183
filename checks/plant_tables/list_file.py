"""An uploaded list as tables of text: every sheet of an XLSX workbook, or one CSV file.

The workbook reader is bounded; a file that is no list says what it is.
"""

from __future__ import annotations

from dataclasses import dataclass

from checks.spreadsheets import csv_text, workbook
from checks.spreadsheets.cells import unguarded
from checks.spreadsheets.sheet import Limits, Row
from checks.spreadsheets.workbook import refused

LIST = Limits(
    "a list",
    rows=20_000,
    columns=200,
    unpacked=96 * 1024 * 1024,
    elements=1_000_000,
    characters=32_000_000,
    stored_values=True,
)
_DELIMITERS = ";,\t"


@dataclass(frozen=True, slots=True)
class Table:
    """One table of a list: its title, and its rows that are not empty, each with the number that a spreadsheet shows."""

    title: str
    rows: tuple[Row, ...]


def read(name: str, raw: bytes) -> list[Table]:
    """Tables of a list; raises Refused for a file that is neither an XLSX workbook nor CSV."""
    if raw.startswith((b"PK", b"\xd0\xcf\x11\xe0")):
        found = workbook.sheets(name, raw, LIST)
        return [Table(title, tuple(rows)) for title, rows in found.items() if rows]
    text = csv_text.decoded(name, raw)
    if is_plant_file(text):
        raise refused(name, "this is a plant file", "bring it under plant file")
    title = name.rpartition("/")[2].rpartition(".")[0] or name
    return [Table(title, tuple(_csv_rows(name, text)))]


def is_plant_file(text: str) -> bool:
    """Whether a text begins like a plant file."""
    lines = (line.split("#")[0].rstrip() for line in text[: csv_text.BEGINNING].splitlines())
    first = next((line for line in lines if line and line != "---"), "")
    return first.startswith(("format:", "plant:", "conventions:", "devices:"))


def _csv_rows(name: str, text: str) -> list[Row]:
    delimiter = max(_DELIMITERS, key=text[:20_000].count)
    rows = [
        (number, [unguarded(cell) for cell in cells]) for number, cells in csv_text.rows(name, text, delimiter, LIST)
    ]
    if not rows:
        raise refused(name, "nothing in it", "a head with the names of the columns, and a row for each entry")
    return rows
