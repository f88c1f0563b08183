"""A table that continues over pages: the head is repeated, cells wrap, and a tall row is split between lines."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise
from typing import Any

from reportlab.lib.colors import HexColor

from pages.presentation.palette import LIGHT
from pages.reports.layout.blocks import MIN_LINES, Block
from pages.reports.layout.text_lines import Line, Style, place, truncated, wrapped

WHOLE_ROW_LINES = 12
"""Maximum lines of a row that is never split (house rule)."""
PAD, COLUMN_GAP = 3.5, 10.0
WHOLE_TABLE, MIN_START = 190.0, 110.0
"""Maximum height of a table that is never split, and minimum height left on the page to begin a split table, in points
(house rule)."""
HEAD_LINES = 4
"""Approximate maximum lines of a column name; a longer one is truncated."""

Cells = tuple[Sequence[Line], ...]
Place = tuple[int, int]
"""Row index, and number of its lines above the position."""


@dataclass(frozen=True, slots=True)
class TableLayout:
    """A whole table wrapped at a width: column edges, lines of head and rows, and the height above each row."""

    edges: tuple[float, ...]
    head: Cells
    rows: tuple[Cells, ...]
    above: tuple[float, ...]


class Table(Block):
    """Rows under a head. ``widths`` are relative column widths, ``right`` the indices of right-aligned columns."""

    spaceAfter = 12.0  # noqa: N815

    def __init__(
        self,
        head: Sequence[str],
        rows: Sequence[Sequence[str]],
        *,
        widths: Sequence[float],
        right: Collection[int],
        style: Style,
    ) -> None:
        super().__init__()
        self.words, self.widths, self.right, self.style = (head, rows), widths, right, style
        self.names = replace(style, bold=True, colour=LIGHT.quiet)
        self.cached: tuple[float, TableLayout] | None = None
        self.start: Place = (0, 0)
        self.stop: Place = (len(rows), 0)

    def layout(self, room: float) -> TableLayout:
        """Layout of the whole table at a width in points; computed once for all its parts."""
        if self.cached is None or self.cached[0] != room:
            edges = (0.0, *accumulate(part * room / sum(self.widths) for part in self.widths))
            inner = [right - left - COLUMN_GAP for left, right in pairwise(edges)]
            inner[-1] += COLUMN_GAP
            head, rows = self.words
            short = [truncated(name, self.names, wide * HEAD_LINES) for name, wide in zip(head, inner, strict=True)]
            cells = tuple(_cells(row, inner, self.style) for row in rows)
            above = (0.0, *accumulate(self._row_height(_line_count(row)) for row in cells))
            self.cached = (room, TableLayout(edges, _cells(short, inner, self.names), cells, above))
        return self.cached[1]

    def _row_height(self, lines: int) -> float:
        return lines * self.style.leading + 2.0 * PAD

    def _head_height(self, layout: TableLayout) -> float:
        return self._row_height(_line_count(layout.head)) if any(self.words[0]) else 0.0

    def _height_above(self, layout: TableLayout) -> float:
        """Height of the whole table above this part."""
        return layout.above[self.start[0]] + self.start[1] * self.style.leading

    def height_at(self, room: float) -> float:
        """Height in points at a width."""
        layout = self.layout(room)
        row, lines = self.stop
        return (
            self._head_height(layout)
            + layout.above[row]
            + (self._row_height(lines) if lines else 0.0)
            - self._height_above(layout)
        )

    def split(self, room: float, height: float) -> list[Any]:
        """Two parts, split between rows or between the lines of a tall row; empty if the table stays whole."""
        if self.start == (0, 0) and (height < MIN_START or self.height_at(room) <= WHOLE_TABLE):
            return []
        layout = self.layout(room)
        left = height - self._head_height(layout)
        if not layout.rows:
            return []
        row = min(bisect_right(layout.above, self._height_above(layout) + left) - 1, len(layout.rows) - 1)
        position = self._split_place(layout, row, left)
        if position <= self.start:
            return []
        first, last = self.part(), self.part()
        first.stop, first.spaceAfter, last.start = position, 0.0, position
        return [first, last]

    def _split_place(self, layout: TableLayout, row: int, left: float) -> Place:
        """Split position: before a row, or after some of its lines."""
        count = _line_count(layout.rows[row])
        done = self.start[1] if row == self.start[0] else 0
        used = 0.0 if row == self.start[0] else layout.above[row] - self._height_above(layout)
        fit = int((left - used - 2.0 * PAD) / self.style.leading)
        if count - done <= WHOLE_ROW_LINES or fit < MIN_LINES:
            return (row, 0)
        return (row, min(done + fit, count - MIN_LINES))

    def draw(self) -> None:
        """Draw the head, a rule, and the rows with a thin rule under each."""
        layout, y = self.layout(self.width), self.height
        if top := self._head_height(layout):
            self._write(layout, layout.head, y, self.names)
            y -= top
            self._rule(y, 0.9, LIGHT.ink)
        for row in range(self.start[0], self.stop[0] + (1 if self.stop[1] else 0)):
            first = self.start[1] if row == self.start[0] else 0
            last = self.stop[1] if row == self.stop[0] else _line_count(layout.rows[row])
            self._write(layout, tuple(cell[first:last] for cell in layout.rows[row]), y, self.style)
            y -= self._row_height(last - first)
            self._rule(y, 0.4, LIGHT.line)

    def _rule(self, y: float, thick: float, colour: str) -> None:
        self.canv.setStrokeColor(HexColor(colour))
        self.canv.setLineWidth(thick)
        self.canv.line(0.0, y, self.width, y)

    def _write(self, layout: TableLayout, cells: Cells, top: float, style: Style) -> None:
        for column, (cell, left) in enumerate(zip(cells, layout.edges, strict=False)):
            last = column + 1 == len(cells)
            sides = (left, layout.edges[column + 1] - (0.0 if last else COLUMN_GAP))
            for row, line in enumerate(cell):
                y = top - PAD - style.size - row * style.leading
                place(self.canv, line, sides, y, style, at_right=column in self.right)


def _line_count(row: Cells) -> int:
    return max((len(cell) for cell in row), default=1)


def _cells(words: Sequence[str], inner: Sequence[float], style: Style) -> Cells:
    return tuple(wrapped(text, style, wide) for text, wide in zip(words, inner, strict=True))
