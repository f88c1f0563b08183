"""The workbook: an empty template with an example row, or the plant's own data in the same form."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from typing import Any

from openpyxl import Workbook
from openpyxl.comments import Comment
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation

from checks.assessment.cautions import CAUTIONS
from checks.plant_tables import rows
from checks.plant_tables.columns import SHEETS, YES_NO, Column
from checks.plant_tables.matching import EXAMPLE
from checks.plant_tables.rows import Row
from checks.plantfile.plant import Plant
from checks.spreadsheets.cells import begins_like_a_formula, csv_bytes, in_workbook

MOST_ROWS = 20_000
WIDTH = {"id": 14, "text": 34, "ids": 34, "choice": 14}
HOW = (
    "One row for each function, group, device, zone and conduit. Ids are short names of your own, such as pt-1.",
    "The name of each column has its unit. Point at a head to see what is allowed.",
    f"Rows whose id begins with {EXAMPLE} are examples and are not read.",
    "A group has a voting, channels, a proof test and repair times; or a stated result of its maker with its source.",
    "A group with several tests (full stroke, partial stroke) has a row for each in the sheet Tests, and no proof test in Groups.",
    "Nothing is taken over before you have seen what is new, changed and gone. An empty cell means: no value.",
)
"""Lines of the sheet that explains the workbook."""


def empty() -> bytes:
    """The template: all sheets with heads, choices and an example row."""
    return _book({sheet: [_example(sheet)] for sheet in SHEETS}, lead=("Template", *HOW))


def of_plant(plant: Plant) -> bytes:
    """A plant's own data in the form of the template; brought in again it changes nothing."""
    about = plant.plant
    lead = (about.name, *filter(None, [about.note]), *HOW, *CAUTIONS)
    return _book(rows.of_plant(plant), lead=lead)


def sheet_as_csv(plant: Plant, sheet: str) -> bytes:
    """One sheet of a plant as CSV."""
    columns = SHEETS[sheet]
    lines = [[row.get(column.key, "") for column in columns] for row in rows.of_plant(plant)[sheet]]
    return csv_bytes([[column.head for column in columns], *lines])


def _example(sheet: str) -> Row:
    values = {column.key: column.example for column in SHEETS[sheet] if column.example}
    owner = SHEETS[sheet][0].key
    return {**values, owner: f"{EXAMPLE} {values[owner]}"}


def _book(tables: Mapping[str, Sequence[Row]], *, lead: Sequence[str]) -> bytes:
    book = Workbook()
    about = book.worksheets[0]
    about.title = "About"
    about.column_dimensions["A"].width = 110
    for number, text in enumerate(lead, start=1):
        _write(about.cell(number, 1), text)
    for sheet, columns in SHEETS.items():
        _fill(book.create_sheet(sheet), columns, tables[sheet])
    book.active = 1
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def _fill(sheet: Any, columns: Sequence[Column], lines: Sequence[Row]) -> None:
    for at, column in enumerate(columns, start=1):
        head, letter = sheet.cell(1, at), get_column_letter(at)
        _write(head, column.head)
        head.font, head.alignment = Font(bold=True), Alignment(wrap_text=True, vertical="top")
        head.comment = Comment(f"{column.key}: {column.allowed}", "template")
        sheet.column_dimensions[letter].width = WIDTH.get(column.kind, 13)
        choices = column.choices or (YES_NO if column.kind == "flag" else ())
        if choices:
            listed = DataValidation(type="list", formula1=f'"{",".join(choices)}"', allow_blank=True)
            listed.add(f"{letter}2:{letter}{MOST_ROWS}")
            sheet.add_data_validation(listed)
    for number, row in enumerate(lines, start=2):
        example = row.get(columns[0].key, "").startswith(EXAMPLE)
        for at, column in enumerate(columns, start=1):
            if text := row.get(column.key, ""):
                cell = sheet.cell(number, at)
                _write(cell, _figure(column, text))
                if example:
                    cell.font, cell.fill = Font(italic=True, color="55606B"), PatternFill("solid", fgColor="EFEDE6")
    sheet.freeze_panes = "B2"


def _figure(column: Column, text: str) -> str | float:
    """A figure as a number, so that a spreadsheet can compute with it; as text where it has more digits than one keeps."""
    if column.kind not in ("number", "fit", "hours", "share", "whole"):
        return text
    value = float(text)
    if float(f"{value:.15g}") != value:
        return text
    return int(value) if value.is_integer() else value


def _write(cell: Any, value: str | float) -> None:
    """Write a text as text, even where it looks like a formula."""
    if not isinstance(value, str):
        cell.value = value
        return
    cell.value = in_workbook(value)
    cell.data_type = "s"
    cell.quotePrefix = begins_like_a_formula(value)
