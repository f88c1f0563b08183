"""A table that goes on over pages: its head is repeated, its cells wrap, and a tall row is parted between lines."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise
from typing import Any

from reportlab.lib.colors import HexColor

from pages.presentation.palette import LIGHT
from pages.reports.layout.blocks import FEW, Block
from pages.reports.layout.text_lines import Line, Style, fitted, place, wrapped

WHOLE = 12
"""A row of up to so many lines is never parted (house rule)."""
PAD, BETWEEN = 3.5, 10.0
KEPT, LOW = 190.0, 110.0
"""A table of up to so many points stays whole, and one that is parted does not begin in the last so many of a page (house
rule)."""
HEAD_LINES = 4
"""A name of a column takes about so many lines at most; a longer one is shortened."""

Cells = tuple[Sequence[Line], ...]
Place = tuple[int, int]
"""A row, and how many of its lines stand before."""


@dataclass(frozen=True, slots=True)
class Laid:
    """A whole table broken into lines at a width: edges of the columns, and the height above every row."""

    edges: tuple[float, ...]
    head: Cells
    rows: tuple[Cells, ...]
    above: tuple[float, ...]


class Table(Block):
    """Rows under a head. ``widths`` are the parts that the columns have of the width, ``right`` those of figures."""

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
        self.held: tuple[float, Laid] | None = None
        self.start: Place = (0, 0)
        self.stop: Place = (len(rows), 0)

    def laid(self, room: float) -> Laid:
        """The whole table at a width, broken into lines once for all its parts."""
        if self.held is None or self.held[0] != room:
            edges = (0.0, *accumulate(part * room / sum(self.widths) for part in self.widths))
            inner = [right - left - BETWEEN for left, right in pairwise(edges)]
            inner[-1] += BETWEEN
            head, rows = self.words
            short = [fitted(name, self.names, wide * HEAD_LINES) for name, wide in zip(head, inner, strict=True)]
            cells = tuple(_cells(row, inner, self.style) for row in rows)
            above = (0.0, *accumulate(self._high(_many(row)) for row in cells))
            self.held = (room, Laid(edges, _cells(short, inner, self.names), cells, above))
        return self.held[1]

    def _high(self, lines: int) -> float:
        return lines * self.style.leading + 2.0 * PAD

    def _top(self, laid: Laid) -> float:
        return self._high(_many(laid.head)) if any(self.words[0]) else 0.0

    def _before(self, laid: Laid) -> float:
        """Height of the whole table above this part."""
        return laid.above[self.start[0]] + self.start[1] * self.style.leading

    def tall(self, room: float) -> float:
        """Height in points at a width."""
        laid = self.laid(room)
        row, lines = self.stop
        return self._top(laid) + laid.above[row] + (self._high(lines) if lines else 0.0) - self._before(laid)

    def split(self, room: float, height: float) -> list[Any]:
        """Two parts: between rows, or between the lines of a row that is too tall to keep whole."""
        if self.start == (0, 0) and (height < LOW or self.tall(room) <= KEPT):
            return []
        laid = self.laid(room)
        left = height - self._top(laid)
        if not laid.rows:
            return []
        row = min(bisect_right(laid.above, self._before(laid) + left) - 1, len(laid.rows) - 1)
        at = self._inside(laid, row, left)
        if at <= self.start:
            return []
        first, last = self.part(), self.part()
        first.stop, first.spaceAfter, last.start = at, 0.0, at
        return [first, last]

    def _inside(self, laid: Laid, row: int, left: float) -> Place:
        """Where the table is parted: before a row, or after some of its lines."""
        many = _many(laid.rows[row])
        done = self.start[1] if row == self.start[0] else 0
        used = 0.0 if row == self.start[0] else laid.above[row] - self._before(laid)
        fit = int((left - used - 2.0 * PAD) / self.style.leading)
        if many - done <= WHOLE or fit < FEW:
            return (row, 0)
        return (row, min(done + fit, many - FEW))

    def draw(self) -> None:
        """Draw the head, a rule, and the rows with a thin rule under each."""
        laid, y = self.laid(self.width), self.height
        if top := self._top(laid):
            self._write(laid, laid.head, y, self.names)
            y -= top
            self._rule(y, 0.9, LIGHT.ink)
        for row in range(self.start[0], self.stop[0] + (1 if self.stop[1] else 0)):
            first = self.start[1] if row == self.start[0] else 0
            last = self.stop[1] if row == self.stop[0] else _many(laid.rows[row])
            self._write(laid, tuple(cell[first:last] for cell in laid.rows[row]), y, self.style)
            y -= self._high(last - first)
            self._rule(y, 0.4, LIGHT.line)

    def _rule(self, y: float, thick: float, colour: str) -> None:
        self.canv.setStrokeColor(HexColor(colour))
        self.canv.setLineWidth(thick)
        self.canv.line(0.0, y, self.width, y)

    def _write(self, laid: Laid, cells: Cells, top: float, style: Style) -> None:
        for column, (cell, left) in enumerate(zip(cells, laid.edges, strict=False)):
            last = column + 1 == len(cells)
            sides = (left, laid.edges[column + 1] - (0.0 if last else BETWEEN))
            for row, line in enumerate(cell):
                y = top - PAD - style.size - row * style.leading
                place(self.canv, line, sides, y, style, at_right=column in self.right)


def _many(row: Cells) -> int:
    return max((len(cell) for cell in row), default=1)


def _cells(words: Sequence[str], inner: Sequence[float], style: Style) -> Cells:
    return tuple(wrapped(text, style, wide) for text, wide in zip(words, inner, strict=True))
