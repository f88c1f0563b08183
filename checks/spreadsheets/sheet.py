"""One sheet of a workbook: from XML events to rows of text."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import isfinite
from typing import Any

from checks.spreadsheets.cells import from_workbook
from checks.text.faults import Refused


@dataclass(frozen=True, slots=True)
class Limits:
    """What a list may hold: rows and columns of a sheet; bytes when unpacked, XML elements and characters of all sheets.

    ``what`` names the list. ``stored_values``: a formula counts by its stored value. A text that many cells share is unpacked
    once, but counts in each of them, for each is read.
    """

    what: str
    rows: int
    columns: int
    unpacked: int
    elements: int
    characters: int
    stored_values: bool = False


ACTION_LIST = Limits(
    "an action list", rows=5000, columns=50, unpacked=16 * 1024 * 1024, elements=1_000_000, characters=16_000_000
)
"""An action list has about twenty columns and rarely a thousand rows; a larger sheet is not an action list."""
MOST_ROWS = ACTION_LIST.rows

LONGEST = 32767
"""Longest text of a cell, in characters."""

Row = tuple[int, list[str]]
Stop = Callable[[str, str], Refused]


class Formula(str):
    """Text of a formula without a stored value, where stored values are asked for."""

    __slots__ = ()


_CELL = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
_NUMBER = re.compile(r"[0-9]{1,7}")
_BOOLEAN = {"0": "FALSE", "1": "TRUE"}


class Runs:
    """The runs of one text, joined once it ends; ``stop`` creates the error for a text that is too long."""

    def __init__(self, stop: Stop) -> None:
        self._stop = stop
        self._runs: list[str] = []
        self._length = 0

    def add(self, run: str, where: str) -> None:
        """Add a run; raises as soon as the text is too long for a cell. ``where`` says which text that is."""
        self._length += len(run)
        if self._length > LONGEST:
            raise self._stop(f"{where} of more than {LONGEST:,} characters", f"at most {LONGEST:,}")
        if run:
            self._runs.append(run)

    def taken(self) -> str:
        """The text, after which another begins."""
        text = "".join(self._runs)
        self._runs.clear()
        self._length = 0
        return text


@dataclass
class _Cell:
    column: int
    kind: str
    style: str
    formula: str | None = None
    value: str = ""


@dataclass
class Sheet:
    """Reads events one by one; ``rows`` are the rows that are not empty, each with its number.

    A formula is text, or with ``limits.stored_values`` counts by its stored value, and is a ``Formula`` without one.

    ``texts`` are the shared texts, ``days`` the styles that show a date, ``stop`` creates the error to raise, ``count`` is
    called with the number of characters of each cell.
    """

    texts: list[str]
    days: set[int]
    from_1904: bool
    stop: Stop
    count: Callable[[int], None]
    limits: Limits = ACTION_LIST
    rows: list[Row] = field(default_factory=list)
    _number: int = 0
    _cells: dict[int, str] = field(default_factory=dict)
    _column: int = 0
    _cell: _Cell | None = None
    _phonetic: bool = False
    _runs: Runs = field(init=False)

    def __post_init__(self) -> None:
        """The runs of the cell that is being read."""
        self._runs = Runs(self.stop)

    def take(self, begins: bool, tag: str, content: Any) -> None:  # noqa: FBT001  (one event, as it comes)
        """Read the beginning of an element (``content``: its attributes) or its end (``content``: its text)."""
        if tag == "rPh":
            self._phonetic = begins
        elif tag == "row":
            self._begin_row(content) if begins else self._end_row()
        elif tag == "c":
            self._begin_cell(content) if begins else self._end_cell()
        elif self._cell is not None and not begins:
            if tag == "f":
                self._cell.formula = content
            elif tag == "v" or (tag == "t" and not self._phonetic):
                self._runs.add(content, f"a cell in row {self._number}")

    def _begin_row(self, attributes: dict[str, str]) -> None:
        written = attributes.get("r", str(self._number + 1))
        if not _NUMBER.fullmatch(written):
            raise self.stop("a row without a number", "save the list as an XLSX workbook again")
        self._number, self._column, self._cells = int(written), 0, {}

    def _begin_cell(self, attributes: dict[str, str]) -> None:
        self._column += 1
        match = _CELL.fullmatch(attributes.get("r", ""))
        if match:
            self._column = 0
            for letter in match[1]:
                self._column = self._column * 26 + ord(letter) - ord("A") + 1
        self._cell = _Cell(self._column, attributes.get("t", "n"), attributes.get("s", "0"))

    def _end_cell(self) -> None:
        cell, self._cell = self._cell, None
        if cell is not None:
            cell.value = self._runs.taken()
        text = self._text(cell) if cell else ""
        if cell is None or not text:
            return
        if len(text) > LONGEST:
            raise self.stop(f"a cell of {len(text):,} characters in row {self._number}", f"at most {LONGEST:,}")
        self.count(len(text))
        most = self.limits.columns
        if cell.column > most:
            raise self.stop(f"a cell in column {cell.column} of row {self._number}", f"at most {most} columns")
        self._cells[cell.column] = text

    def _end_row(self) -> None:
        if not self._cells:
            return
        if len(self.rows) >= self.limits.rows:
            raise self.stop(f"more rows than {self.limits.what} has", f"at most {self.limits.rows:,}")
        self.rows.append((self._number, [self._cells.get(column, "") for column in range(1, max(self._cells) + 1)]))

    def _text(self, cell: _Cell) -> str:
        if cell.formula is not None and not (self.limits.stored_values and cell.value):
            return Formula(f"={cell.formula}") if self.limits.stored_values else f"={cell.formula}"
        if cell.kind == "s":
            return self._shared(cell.value)
        if cell.kind == "n":
            return self._figure(cell.value, cell.style)
        if cell.kind == "b":
            return _BOOLEAN.get(cell.value, cell.value)
        if cell.kind == "d":
            return cell.value.removesuffix("Z").removesuffix(".000").removesuffix("T00:00:00")
        return from_workbook(cell.value)

    def _shared(self, written: str) -> str:
        if not _NUMBER.fullmatch(written) or int(written) >= len(self.texts):
            raise self.stop(f"row {self._number} refers to a text that does not exist", "save the list again")
        return self.texts[int(written)]

    def _figure(self, written: str, style: str) -> str:
        """A whole number without a decimal point, or a date where its style shows one; else the number as written."""
        try:
            value = float(written)
        except ValueError:
            return written
        if not isfinite(value) or not value.is_integer():
            return written
        if style.isascii() and style.isdigit() and len(style) < 8 and int(style) in self.days:
            first = date(1904, 1, 1) if self.from_1904 else date(1899, 12, 30)
            try:
                return (first + timedelta(days=value)).isoformat()
            except OverflowError:
                return written
        return str(int(value))
