"""Workbooks that go out: sheets of rows with wrapped texts, and a sheet about them."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter

from checks.spreadsheets.cells import begins_like_a_formula, in_workbook

Cell = str | int | float | date


@dataclass(frozen=True, slots=True)
class WrittenSheet:
    """A sheet: its name, column names with their widths in characters, and rows."""

    name: str
    columns: Sequence[tuple[str, int]]
    rows: Iterable[Sequence[Cell]]


def written(sheets: Iterable[WrittenSheet], about: Iterable[str]) -> bytes:
    """The workbook of these sheets, and a last one with the lines of ``about``."""
    book = Workbook()
    book.remove(book.worksheets[0])
    for content in sheets:
        sheet = book.create_sheet(content.name)
        for at, (name, width) in enumerate(content.columns, start=1):
            _write_cell(sheet.cell(1, at), name)
            sheet.cell(1, at).font = Font(bold=True)
            sheet.column_dimensions[get_column_letter(at)].width = width
        for number, cells in enumerate(content.rows, start=2):
            for at, value in enumerate(cells, start=1):
                _write_cell(sheet.cell(number, at), value)
        sheet.freeze_panes = "B2"
        sheet.auto_filter.ref = sheet.dimensions
    last = book.create_sheet("About")
    last.column_dimensions["A"].width = 120
    for number, text in enumerate(about, start=1):
        _write_cell(last.cell(number, 1), text)
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def _write_cell(cell: Any, value: Cell) -> None:
    """Write a value to a cell: a text as text, even where it looks like a formula, and a day as a date."""
    cell.alignment = Alignment(vertical="top", wrap_text=True)
    if not isinstance(value, str):
        cell.value = value
        if isinstance(value, date):
            cell.number_format = "yyyy-mm-dd"
    elif value:
        cell.value = in_workbook(value)
        cell.data_type = "s"  # openpyxl makes a formula of a text that begins like one
        cell.quotePrefix = begins_like_a_formula(value)  # and so does a spreadsheet when the cell is edited
