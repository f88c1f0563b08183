"""A list of actions, lists edited as a person would, and the result of importing them."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Callable, Sequence
from functools import cache
from typing import Any

from openpyxl import Workbook, load_workbook

from checks.actions.action_columns import BY_NAME
from checks.actions.action_list import read_csv, read_xlsx, to_csv, to_xlsx
from checks.actions.action_rules import Action
from checks.actions.action_updates import Held, Proposed
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Plant
from checks.text.faults import Refused
from tests.checks.actions.drawn import TODAY
from tests.checks.given import valid_plant

NAMES = list(BY_NAME)
READ = {"csv": read_csv, "xlsx": read_xlsx}
Table = list[list[Any]]


@cache
def plant() -> Plant:
    return valid_plant()


@cache
def assessment() -> Assessment:
    return Assessment(plant())


def held(actions: Sequence[Action]) -> Held:
    """What a list is compared with."""
    return Held(actions=actions, plant=plant(), by="facilitator", today=TODAY)


def written(kind: str, actions: Sequence[Action]) -> bytes:
    """The exported list."""
    return {"csv": to_csv, "xlsx": to_xlsx}[kind](actions, assessment(), today=TODAY)


def table(kind: str, raw: bytes) -> Table:
    """Column names and rows of a list, read with the csv module or with openpyxl."""
    if kind == "csv":
        rows: Table = list(csv.reader(io.StringIO(raw.decode("utf-8-sig"), newline="")))
        return rows[next(at for at, row in enumerate(rows) if row[:2] == ["Id", "What"]) :]
    sheet = load_workbook(io.BytesIO(raw))["Actions"]
    return [list(row) for row in sheet.iter_rows(values_only=True)]


def as_file(kind: str, rows: Table) -> bytes:
    """Rows as a spreadsheet program saves them, written with the csv module or with openpyxl."""
    if kind == "csv":
        text = io.StringIO()
        csv.writer(text).writerows([["" if cell is None else cell for cell in row] for row in rows])
        return text.getvalue().encode("utf-8-sig")
    book = Workbook()
    sheet = book.worksheets[0]
    for row in rows:
        sheet.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def edited(kind: str, actions: Sequence[Action], edit: Callable[[Table], None]) -> bytes:
    """The list of these actions after an edit of its rows; row 0 holds the column names."""
    rows = table(kind, written(kind, actions))
    edit(rows)
    return as_file(kind, rows)


def put(row: int, **cells: Any) -> Callable[[Table], None]:
    """An edit of one row: new values by column name (an underscore for a space)."""

    def edit(rows: Table) -> None:
        for name, value in cells.items():
            rows[row][NAMES.index(name.replace("_", " "))] = value

    return edit


def new_row(**cells: Any) -> list[Any]:
    """A row without an id: what, owner and due, and other values by column name (an underscore for a space)."""
    named = {"What": "Test the restore", "Owner": "control engineer", "Due": "2026-01-31", **cells}
    named = {name.replace("_", " "): value for name, value in named.items()}
    assert set(named) <= set(NAMES)
    return [named.get(name, "") for name in NAMES]


def list_of(kind: str, *rows: list[Any]) -> bytes:
    """A list of the column names and these rows."""
    return as_file(kind, [NAMES, *rows])


def asked(kind: str, raw: bytes, actions: Sequence[Action] = ()) -> Proposed:
    """The changes in a list."""
    return READ[kind](raw, held(actions), name="FILE")


def told(kind: str, raw: bytes, actions: Sequence[Action] = ()) -> list[str]:
    """Faults of a list, one line each; none for a valid list."""
    try:
        asked(kind, raw, actions)
    except Refused as refused:
        return [line.removeprefix("FILE: ") for line in refused.lines()]
    return []


def said(raw: bytes) -> str:
    """The only line of the refusal of a workbook."""
    (line,) = told("xlsx", raw)
    return line


def taken(actions: Sequence[Action], proposed: Proposed) -> list[Action]:
    """The actions after the proposed changes."""
    after = {update.before.id: update.after for update in proposed.updates}
    return [*(after.get(action.id, action) for action in actions), *proposed.new]


def parts(raw: bytes) -> dict[str, bytes]:
    """Parts of a workbook by name."""
    with zipfile.ZipFile(io.BytesIO(raw)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(named: dict[str, bytes | str], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    """A ZIP archive of these parts."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        for name, content in named.items():
            archive.writestr(name, content)
    return out.getvalue()
