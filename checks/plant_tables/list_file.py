"""An uploaded list as tables of text: every sheet of an XLSX workbook, or one CSV file.

The workbook reader is bounded; a file that is no list says what it is.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass

from checks.spreadsheets import workbook
from checks.spreadsheets.cells import unguarded
from checks.spreadsheets.sheet import Limits, Row
from checks.spreadsheets.workbook import refused

LIST = Limits("a list", rows=20_000, columns=200, unpacked=96 * 1024 * 1024, elements=6_000_000, stored_values=True)
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
    if len(raw) > workbook.MOST_BYTES:
        raise refused(name, f"{len(raw):,} bytes", f"at most {workbook.MOST_BYTES:,}")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        why = f"byte {error.start} is no UTF-8 text, so it is no CSV"
        raise refused(name, why, "save the list as an XLSX workbook, or as CSV UTF-8") from error
    if is_plant_file(text):
        raise refused(name, "this is a plant file", "bring it under plant file")
    title = name.rpartition("/")[2].rpartition(".")[0] or name
    return [Table(title, tuple(_csv_rows(name, text)))]


def is_plant_file(text: str) -> bool:
    """Whether a text begins like a plant file."""
    lines = (line.split("#")[0].rstrip() for line in text.splitlines())
    first = next((line for line in lines if line and line != "---"), "")
    return first.startswith(("format:", "plant:", "conventions:", "devices:"))


def _csv_rows(name: str, text: str) -> list[Row]:
    delimiter = max(_DELIMITERS, key=text[:20_000].count)
    rows: list[Row] = []
    try:
        for number, cells in enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter), start=1):
            if any(cell.strip() for cell in cells):
                rows.append((number, [unguarded(cell) for cell in cells]))
            if len(rows) > LIST.rows:
                raise refused(name, "more rows than a list has", f"at most {LIST.rows:,}")
    except csv.Error as error:
        raise refused(name, f"no CSV ({error})", "save it as CSV UTF-8, or as an XLSX workbook") from error
    if not rows:
        raise refused(name, "nothing in it", "a head with the names of the columns, and a row for each entry")
    return rows
