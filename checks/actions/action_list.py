"""The list of actions as a CSV file and as an XLSX workbook, and the changes in an edited one."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from datetime import date
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter

from checks.actions.action_columns import BY_NAME, COLUMNS, Cell, line
from checks.actions.action_updates import NEEDED, Held, Proposed, proposed
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import CAUTIONS, method
from checks.events.plant.action import Action
from checks.spreadsheets import workbook
from checks.spreadsheets.cells import IN_CSV, IN_WORKBOOK, begins_like_a_formula, csv_bytes, in_workbook
from checks.spreadsheets.sheet import MOST_ROWS, Row
from checks.spreadsheets.workbook import refused

SHEET = "Actions"
HOW = (
    "A row with an id changes that action; a row without one is a new action. An action without a row stays as it is.",
    "A list may change owner, due, interim measure, change reference, and the state between open and done.",
    "done: reported by the owner, awaiting verification. Close an action in the program, with evidence and a verifier.",
    "The effect is a forecast for the expected answers. It changes no result: only an answer with evidence does.",
)
_DELIMITERS = ",;\t"


def lead(assessment: Assessment, *, today: date) -> list[str]:
    """Lines above the list: plant, day, method, how to use the list, cautions."""
    about = assessment.plant.plant
    noted = [about.note] if about.note else []
    return [about.name, *noted, f"Actions on {today.isoformat()}", method(assessment.plant), *HOW, *CAUTIONS]


def to_csv(actions: Iterable[Action], assessment: Assessment, *, today: date) -> bytes:
    """The list as CSV, with plant, method and cautions in lines above the column names."""
    lines = [line(action, assessment, today=today).values() for action in actions]
    above = [[text] for text in lead(assessment, today=today)]
    return csv_bytes([*above, list(BY_NAME), *([str(cell) for cell in cells] for cells in lines)])


def to_xlsx(actions: Iterable[Action], assessment: Assessment, *, today: date) -> bytes:
    """The list as a workbook: the actions, and a second sheet with plant, method and cautions."""
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = SHEET
    for at, column in enumerate(COLUMNS, start=1):
        _write_cell(sheet.cell(1, at), column.name)
        sheet.cell(1, at).font = Font(bold=True)
        sheet.column_dimensions[get_column_letter(at)].width = column.width
    for number, action in enumerate(actions, start=2):
        for at, value in enumerate(line(action, assessment, today=today).values(), start=1):
            _write_cell(sheet.cell(number, at), value)
    sheet.freeze_panes = "B2"
    sheet.auto_filter.ref = sheet.dimensions
    about = book.create_sheet("About")
    about.column_dimensions["A"].width = 120
    for number, text in enumerate(lead(assessment, today=today), start=1):
        _write_cell(about.cell(number, 1), text)
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


def read_csv(raw: bytes, present: Held, *, name: str = "CSV file") -> Proposed:
    """The changes in an edited list; raises Refused with all its faults. The delimiter is a comma, semicolon or tab."""
    if len(raw) > workbook.MOST_BYTES:
        raise refused(name, f"{len(raw):,} bytes", f"at most {workbook.MOST_BYTES:,}")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        why = f"byte {error.start} is no UTF-8"
        raise refused(name, why, "save it as CSV UTF-8, or as an XLSX workbook") from error
    return proposed(name, _csv_rows(name, text), present, IN_CSV)


def read_xlsx(raw: bytes, present: Held, *, name: str = "XLSX file") -> Proposed:
    """The changes in an edited list; raises Refused with all its faults. Only the sheet of actions is read."""
    return proposed(name, workbook.rows(name, raw, sheet=SHEET), present, IN_WORKBOOK)


def _csv_rows(name: str, text: str) -> list[Row]:
    """Rows that are not empty, each with its row number in a spreadsheet."""
    delimiter = max(_DELIMITERS, key=lambda mark: _head_count(text, mark))
    rows: list[Row] = []
    try:
        for number, cells in enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter), start=1):
            if any(cell.strip() for cell in cells):
                rows.append((number, cells))
            if len(rows) > MOST_ROWS:
                raise refused(name, "more rows than an action list has", f"at most {MOST_ROWS:,}")
    except csv.Error as error:
        raise refused(name, f"no CSV ({error})", "save it as CSV UTF-8, or as an XLSX workbook") from error
    return rows


def _head_count(text: str, delimiter: str) -> int:
    """Number of lines that hold the column names with this delimiter."""
    lines = (line.replace('"', "").split(delimiter) for line in text.splitlines())
    return sum(set(NEEDED) <= {name.strip() for name in line} for line in lines)
