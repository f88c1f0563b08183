"""The list of actions as a CSV file and as an XLSX workbook, and the changes in an edited one."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from checks.actions.action_columns import BY_NAME, COLUMNS, line
from checks.actions.action_updates import NEEDED, Held, Proposed, proposed
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import CAUTIONS, method
from checks.events.plant.action import Action
from checks.spreadsheets import csv_text, workbook
from checks.spreadsheets.cells import IN_CSV, IN_WORKBOOK, csv_bytes
from checks.spreadsheets.sheet import ACTION_LIST
from checks.spreadsheets.written import WrittenSheet, written

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
    columns = [(column.name, column.width) for column in COLUMNS]
    rows = (list(line(action, assessment, today=today).values()) for action in actions)
    return written([WrittenSheet(SHEET, columns, rows)], lead(assessment, today=today))


def read_csv(raw: bytes, present: Held, *, name: str = "CSV file") -> Proposed:
    """The changes in an edited list; raises Refused with all its faults. The delimiter is a comma, semicolon or tab."""
    text = csv_text.decoded(name, raw)
    delimiter = max(_DELIMITERS, key=lambda mark: _head_count(text[: csv_text.BEGINNING], mark))
    return proposed(name, csv_text.rows(name, text, delimiter, ACTION_LIST), present, IN_CSV)


def read_xlsx(raw: bytes, present: Held, *, name: str = "XLSX file") -> Proposed:
    """The changes in an edited list; raises Refused with all its faults. Only the sheet of actions is read."""
    return proposed(name, workbook.rows(name, raw, sheet=SHEET), present, IN_WORKBOOK)


def _head_count(text: str, delimiter: str) -> int:
    """Number of lines that hold the column names with this delimiter."""
    lines = (line.replace('"', "").split(delimiter) for line in text.splitlines())
    return sum(set(NEEDED) <= {name.strip() for name in line} for line in lines)
