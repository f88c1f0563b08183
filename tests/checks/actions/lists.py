"""The list of some actions, a list edited as a person would, and what the reading says to it."""

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
from checks.actions.action_updates import Held, Proposed
from checks.actions.actions import Action
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
    """What a list is read against."""
    return Held(actions=actions, plant=plant(), by="facilitator", today=TODAY)


def written(kind: str, actions: Sequence[Action]) -> bytes:
    """The list as it leaves the program."""
    return {"csv": to_csv, "xlsx": to_xlsx}[kind](actions, assessment(), today=TODAY)


def table(kind: str, raw: bytes) -> Table:
    """Head and rows of a list, read with the csv module or with openpyxl."""
    if kind == "csv":
        rows: Table = list(csv.reader(io.StringIO(raw.decode("utf-8-sig"), newline="")))
        return rows[next(at for at, row in enumerate(rows) if row[:2] == ["Id", "What"]) :]
    sheet = load_workbook(io.BytesIO(raw))["Actions"]
    return [list(row) for row in sheet.iter_rows(values_only=True)]


def as_file(kind: str, rows: Table) -> bytes:
    """Rows as a person's spreadsheet would save them, written with the csv module or with openpyxl."""
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
    """The list of these actions after somebody edited its rows; row 0 is the head."""
    rows = table(kind, written(kind, actions))
    edit(rows)
    return as_file(kind, rows)


def put(row: int, **cells: Any) -> Callable[[Table], None]:
    """An edit of one row: column and what is put there, an underscore for a space."""

    def edit(rows: Table) -> None:
        for name, value in cells.items():
            rows[row][NAMES.index(name.replace("_", " "))] = value

    return edit


def new_row(**cells: Any) -> list[Any]:
    """A row without an id: what, owner and due, and what else is named by column (an underscore for a space)."""
    named = {"What": "Test the restore", "Owner": "control engineer", "Due": "2026-01-31", **cells}
    named = {name.replace("_", " "): value for name, value in named.items()}
    assert set(named) <= set(NAMES)
    return [named.get(name, "") for name in NAMES]


def list_of(kind: str, *rows: list[Any]) -> bytes:
    """A list of the head and these rows."""
    return as_file(kind, [NAMES, *rows])


def asked(kind: str, raw: bytes, actions: Sequence[Action] = ()) -> Proposed:
    """What a list asks for."""
    return READ[kind](raw, held(actions), name="FILE")


def told(kind: str, raw: bytes, actions: Sequence[Action] = ()) -> list[str]:
    """Lines that tell the faults of a list; none where it is taken."""
    try:
        asked(kind, raw, actions)
    except Refused as refused:
        return [line.removeprefix("FILE: ") for line in refused.lines()]
    return []


def said(raw: bytes) -> str:
    """The one line that tells why a workbook is refused."""
    (line,) = told("xlsx", raw)
    return line


def taken(actions: Sequence[Action], proposed: Proposed) -> list[Action]:
    """The actions after what was proposed has been stored."""
    after = {one.before.id: one.after for one in proposed.updates}
    return [*(after.get(one.id, one) for one in actions), *proposed.new]


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
