"""Rows of text from an uploaded CSV file, within the limits of a list."""

from __future__ import annotations

import csv
import io

from checks.spreadsheets.sheet import Limits, Row
from checks.spreadsheets.workbook import MOST_BYTES, refused

MOST_LINES = 200_000
"""Lines of a file, empty ones too."""
BEGINNING = 100_000
"""Characters at the beginning of a text by which its delimiter and its kind are known."""


def decoded(name: str, raw: bytes) -> str:
    """The text of a file; raises Refused where it is too large or no UTF-8."""
    if len(raw) > MOST_BYTES:
        raise refused(name, f"{len(raw):,} bytes", f"at most {MOST_BYTES:,}")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        why = f"byte {error.start} is no UTF-8 text, so it is no CSV"
        raise refused(name, why, "save the list as an XLSX workbook, or as CSV UTF-8") from error


def rows(name: str, text: str, delimiter: str, limits: Limits) -> list[Row]:
    """Rows that are not empty, each with its number in a spreadsheet; raises Refused where there are too many."""
    found: list[Row] = []
    try:
        for number, cells in enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter), start=1):
            filled = max((at for at, cell in enumerate(cells, start=1) if cell and not cell.isspace()), default=0)
            if filled > limits.columns:
                most = f"at most {limits.columns} columns"
                raise refused(name, f"a cell in column {filled} of row {number}", most)
            if filled:
                found.append((number, cells[: limits.columns]))
            if len(found) > limits.rows or number > MOST_LINES:
                raise refused(name, f"more rows than {limits.what} has", f"at most {limits.rows:,}")
    except csv.Error as error:
        raise refused(name, f"no CSV ({error})", "save it as CSV UTF-8, or as an XLSX workbook") from error
    return found
