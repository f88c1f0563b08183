"""The list of actions as a CSV file and as an XLSX workbook, and what an edited one asks for."""

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
    "A row with an id changes that action; a row without one is a new action. What no row names stays as it is.",
    "A list may change owner, due, interim measure, change reference, and the state between open and done.",
    "done: says its owner, and awaits verification. An action is closed in the program, with evidence and a verifier.",
    "The effect is what would follow if the answers came out as expected. It moves no number: an answer does, with evidence.",
)
_DELIMITERS = ",;\t"


def lead(assessment: Assessment, *, today: date) -> list[str]:
    """What stands beside the list: plant, day, method, how the list is used, cautions."""
    about = assessment.plant.plant
    noted = [about.note] if about.note else []
    return [about.name, *noted, f"Actions on {today.isoformat()}", method(assessment.plant), *HOW, *CAUTIONS]


def to_csv(actions: Iterable[Action], assessment: Assessment, *, today: date) -> bytes:
    """The list as CSV, with plant, method and cautions in lines above the head."""
    lines = [line(one, assessment, today=today).values() for one in actions]
    above = [[one] for one in lead(assessment, today=today)]
    return csv_bytes([*above, list(BY_NAME), *([str(cell) for cell in one] for one in lines)])


def to_xlsx(actions: Iterable[Action], assessment: Assessment, *, today: date) -> bytes:
    """The list as a workbook: the actions, and a second sheet with plant, method and cautions."""
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = SHEET
    for at, column in enumerate(COLUMNS, start=1):
        _put(sheet.cell(1, at), column.name)
        sheet.cell(1, at).font = Font(bold=True)
        sheet.column_dimensions[get_column_letter(at)].width = column.width
    for number, action in enumerate(actions, start=2):
        for at, value in enumerate(line(action, assessment, today=today).values(), start=1):
            _put(sheet.cell(number, at), value)
    sheet.freeze_panes = "B2"
    sheet.auto_filter.ref = sheet.dimensions
    about = book.create_sheet("About")
    about.column_dimensions["A"].width = 120
    for number, text in enumerate(lead(assessment, today=today), start=1):
        _put(about.cell(number, 1), text)
    held = io.BytesIO()
    book.save(held)
    return held.getvalue()


def _put(cell: Any, value: Cell) -> None:
    """Put a value into a cell: a text as a text, whatever it looks like, and a day as a day."""
    cell.alignment = Alignment(vertical="top", wrap_text=True)
    if not isinstance(value, str):
        cell.value = value
        if isinstance(value, date):
            cell.number_format = "yyyy-mm-dd"
    elif value:
        cell.value = in_workbook(value)
        cell.data_type = "s"  # openpyxl would make a formula of a text that begins like one
        cell.quotePrefix = begins_like_a_formula(value)  # and so would a spreadsheet when the cell is edited


def read_csv(raw: bytes, held: Held, *, name: str = "CSV file") -> Proposed:
    """What an edited list asks for; raises Refused with every fault of it. Commas, semicolons or tabs may divide it."""
    if len(raw) > workbook.MOST_BYTES:
        raise refused(name, f"{len(raw):,} bytes", f"at most {workbook.MOST_BYTES:,}")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        found = f"byte {error.start} is no UTF-8"
        raise refused(name, found, "save it as CSV UTF-8, or as an XLSX workbook") from error
    return proposed(name, _csv_rows(name, text), held, IN_CSV)


def read_xlsx(raw: bytes, held: Held, *, name: str = "XLSX file") -> Proposed:
    """What an edited list asks for; raises Refused with every fault of it. Only the sheet of actions is read."""
    return proposed(name, workbook.rows(name, raw, sheet=SHEET), held, IN_WORKBOOK)


def _csv_rows(name: str, text: str) -> list[Row]:
    """Rows that are not empty, each with the number that a spreadsheet gives it."""
    divided = max(_DELIMITERS, key=lambda one: _heads(text, one))
    rows: list[Row] = []
    try:
        for number, cells in enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=divided), start=1):
            if any(one.strip() for one in cells):
                rows.append((number, cells))
            if len(rows) > MOST_ROWS:
                raise refused(name, "more rows than an action list has", f"at most {MOST_ROWS:,}")
    except csv.Error as error:
        raise refused(name, f"no CSV ({error})", "save it as CSV UTF-8, or as an XLSX workbook") from error
    return rows


def _heads(text: str, delimiter: str) -> int:
    """Lines that are the head of a list when divided in this way."""
    lines = (line.replace('"', "").split(delimiter) for line in text.splitlines())
    return sum(set(NEEDED) <= {one.strip() for one in line} for line in lines)
