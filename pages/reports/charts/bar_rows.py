"""Rows of bars over one scale, on paper. Each label is above its bar, so that labels never overlap."""

from __future__ import annotations

from typing import Any

from reportlab.pdfgen.canvas import Canvas

from pages.charts.beta_intervals import IN_USE, MEDIAN
from pages.charts.chart_data import Bars, Fill, Mark, Row
from pages.charts.rails import ALONE, BAND, BEFORE, RANGE, TARGET
from pages.presentation.palette import LIGHT
from pages.reports.charts.marks import SMALL, draw_bar, draw_dot, draw_mark, draw_rule, horizontal_axis
from pages.reports.layout.blocks import Block
from pages.reports.layout.text_lines import Style, truncated, width, write

NAME, BOLD_NAME, FIGURES = Style(size=8.5), Style(size=8.5, bold=True), Style(size=8.5, colour=LIGHT.quiet)
ROW, LABEL_HEIGHT, BAR, LEGEND, AXIS = 41.0, 30.0, 9.0, 14.0, 30.0
"""Heights of a row, of its label with the bar, of the bar, of a legend line, and of the scale, in points."""
MAX_WHOLE = 300.0
"""Maximum height of a chart that is never split, in points (house rule)."""
DOTS, TICKS = (ALONE, MEDIAN), (TARGET, IN_USE)
"""Legend entries that a dot and an upright tick stand for."""
SYMBOL_GAP, ENTRY_GAP = 4.0, 10.0
BELOW, DIAMOND, SMALL_MARK = 8.0, Mark("diamond"), 2.6
"""Distance of the band of the uncertainty below the bar, in points, and the mark at its median with its radius."""


class BarRows(Block):
    """Rows over one scale; legend and scale are repeated on every page."""

    spaceAfter = 14.0  # noqa: N815

    def __init__(self, chart: Bars) -> None:
        super().__init__()
        self.rows, self.scale, self.legend = chart.rows, chart.scale, chart.legend
        self.backdrop = chart.backdrop

    def _legend_lines(self, room: float) -> list[list[Fill | str]]:
        """Legend entries in lines that fit a width in points."""
        lines: list[list[Fill | str]] = [[]]
        used = 0.0
        for entry in self.legend:
            long = _entry_width(entry)
            if lines[-1] and used + long - ENTRY_GAP > room:
                lines.append([])
                used = 0.0
            lines[-1].append(entry)
            used += long
        return lines

    def height_at(self, room: float) -> float:
        """Height in points at a width."""
        return len(self._legend_lines(room)) * LEGEND + len(self.rows) * ROW + AXIS

    def split(self, room: float, height: float) -> list[Any]:
        """Two charts, each with legend and scale."""
        fit = int((height - len(self._legend_lines(room)) * LEGEND - AXIS) / ROW)
        if not 0 < fit < len(self.rows) or self.height_at(room) <= MAX_WHOLE:
            return []
        first, last = self.part(), self.part()
        first.rows, last.rows = self.rows[:fit], self.rows[fit:]
        first.spaceAfter = 0.0
        return [first, last]

    def draw(self) -> None:
        """Draw legend, rows and scale."""
        y = self.height
        for line in self._legend_lines(self.width):
            x, y = 0.0, y - LEGEND
            for entry in line:
                _legend_entry(self.canv, entry, x, y + 4.0)
                x += _entry_width(entry)
        for index, row in enumerate(self.rows):
            self._row(row, y - index * ROW)
        horizontal_axis(self.canv, self.scale, (0.0, self.width), y - len(self.rows) * ROW)

    def _at(self, value: float) -> float:
        return self.scale.share(value) * self.width

    def _row(self, row: Row, top: float) -> None:
        canvas, bottom, y = self.canv, top - LABEL_HEIGHT, top - 13.0
        room = self.width - 14.0
        room -= write(canvas, truncated(row.figures, FIGURES, room * 0.6), self.width, y, FIGURES, anchor="right")
        key, name = row.name
        used = write(canvas, truncated(key, BOLD_NAME, room * (0.6 if name else 1.0)), 0.0, y, BOLD_NAME) + 6.0
        write(canvas, truncated(name, NAME, room - used), used, y, NAME)
        for value, _ in self.scale.ticks():
            draw_rule(canvas, (self._at(value), bottom - 3.0, self._at(value), bottom + BAR + 3.0), 0.4, LIGHT.line)
        for value in self.backdrop or ():
            edge = (self._at(value), bottom - 6.0, self._at(value), bottom + BAR + 6.0)
            draw_rule(canvas, edge, 0.8, LIGHT.quiet, 1.0, 2.0)
        for start, end, fill in row.bars:
            left, right = sorted((self._at(start), self._at(end)))
            if right > left:
                draw_bar(canvas, fill, left, bottom, right - left, BAR)
        self._marks(row, bottom)

    def _marks(self, row: Row, bottom: float) -> None:
        if row.ghost:
            left, right = sorted(map(self._at, row.ghost))
            for y in (bottom - 1.5, bottom + BAR + 1.5):
                draw_rule(self.canv, (left, y, right, y), 0.8, LIGHT.ink, 1.0, 2.0)
            draw_rule(self.canv, (right, bottom - 1.5, right, bottom + BAR + 1.5), 0.8, LIGHT.ink, 1.0, 2.0)
        if row.whisker:
            low, high = map(self._at, row.whisker)
        if row.whisker and high - low > 2.0:  # a shorter one is hidden by its end marks
            draw_rule(self.canv, (low, bottom - 3.5, high, bottom - 3.5), 0.8, LIGHT.ink)
            for x in (low, high):
                draw_rule(self.canv, (x, bottom - 5.0, x, bottom - 2.0), 0.8, LIGHT.ink)
        if row.band:
            low, median, high = map(self._at, row.band)
            draw_rule(self.canv, (low, bottom - BELOW, high, bottom - BELOW), 0.8, LIGHT.ink)
            draw_mark(self.canv, DIAMOND, (median, bottom - BELOW), LIGHT.ink, SMALL_MARK)
        if row.tick is not None:
            draw_rule(
                self.canv, (self._at(row.tick), bottom - 4.5, self._at(row.tick), bottom + BAR + 4.5), 2.2, LIGHT.ink
            )
        if row.dot is not None:
            draw_dot(self.canv, self._at(row.dot), bottom + BAR / 2.0, LIGHT.kept)


def _symbol_width(entry: Fill | str) -> float:
    return 8.0 if entry in (*DOTS, *TICKS) else 15.0


def _entry_width(entry: Fill | str) -> float:
    return (
        _symbol_width(entry) + SYMBOL_GAP + width(entry if isinstance(entry, str) else entry.label, SMALL) + ENTRY_GAP
    )


def _legend_entry(canvas: Canvas, entry: Fill | str, x: float, y: float) -> None:
    """Draw one legend entry."""
    if isinstance(entry, Fill):
        draw_bar(canvas, entry, x, y - 1.0, 15.0, 7.0)
    elif entry in DOTS:
        draw_dot(canvas, x + 4.0, y + 2.5, LIGHT.kept)
    elif entry in TICKS:
        draw_rule(canvas, (x + 4.0, y - 3.0, x + 4.0, y + 8.0), 2.2, LIGHT.ink)
    else:
        draw_rule(canvas, (x, y + 2.5, x + 15.0, y + 2.5), 0.8, LIGHT.ink, *((1.0, 2.0) if entry == BEFORE else ()))
        if entry == BAND:
            draw_mark(canvas, DIAMOND, (x + 7.5, y + 2.5), LIGHT.ink, SMALL_MARK)
        for end in (x, x + 15.0) if entry == RANGE else ():
            draw_rule(canvas, (end, y + 1.0, end, y + 4.0), 0.8, LIGHT.ink)
    write(canvas, entry if isinstance(entry, str) else entry.label, x + _symbol_width(entry) + SYMBOL_GAP, y, SMALL)
