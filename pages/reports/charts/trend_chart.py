"""Results over the revisions of a system, on paper."""

from __future__ import annotations

from pages.charts.chart_data import Line, Trend
from pages.presentation.palette import LIGHT
from pages.reports.charts.curve_chart import spread
from pages.reports.charts.marks import LABEL, SMALL, draw_line, draw_mark, draw_rule, vertical_axis
from pages.reports.layout.blocks import Block
from pages.reports.layout.text_lines import truncated, width, write

HEIGHT, LEFT, RIGHT, TOP, BOTTOM = 236.0, 46.0, 136.0, 24.0, 46.0
INSIDE, BESIDE = 18.0, 22.0
"""Distances from the sides of the chart to the first and last point, and from the axis to a name, in points."""
ALONG = "revisions of this system with their dates, evenly spaced"


class TrendChart(Block):
    """Lines over revisions. Dashes and marks distinguish them; the mark is repeated next to the name."""

    spaceAfter = 14.0  # noqa: N815

    def __init__(self, chart: Trend) -> None:
        super().__init__()
        self.lines, self.categories, self.y_scale = chart.lines, chart.categories, chart.y_scale

    def height_at(self, _room: float) -> float:
        """Height in points."""
        return HEIGHT

    def split(self, _room: float, _height: float) -> list[Block]:
        """Empty: the chart is never split."""
        return []

    def _x(self, index: int) -> float:
        room = self.width - LEFT - RIGHT - 2.0 * INSIDE
        return LEFT + INSIDE + room * index / max(1, len(self.categories) - 1)

    def _y(self, value: float) -> float:
        return BOTTOM + self.y_scale.share(value) * (HEIGHT - BOTTOM - TOP)

    def draw(self) -> None:
        """Draw scales, lines, and their names in the order of their last values."""
        right = self.width - RIGHT
        write(self.canv, truncated(self.y_scale.label, SMALL, self.width), 0.0, HEIGHT - 10.0, SMALL)
        vertical_axis(self.canv, self.y_scale, (LEFT, right), (BOTTOM, HEIGHT - TOP))
        self._along(right)
        for line in self.lines:
            self._line(line)
        self._names(right)

    def _along(self, right: float) -> None:
        """Revisions with dates; a label that would touch the one at its right is left out, so the last is always shown."""
        draw_rule(self.canv, (LEFT, BOTTOM, right, BOTTOM), 0.5, LIGHT.line)
        free = self.width
        for index in reversed(range(len(self.categories))):
            x, words = self._x(index), self.categories[index]
            half = max(width(text, SMALL) for text in words) / 2.0
            draw_rule(self.canv, (x, BOTTOM, x, BOTTOM - 3.0), 0.5, LIGHT.quiet)
            if x + half <= free:
                for row, text in enumerate(words):
                    write(self.canv, text, x, BOTTOM - 12.0 - row * LABEL, SMALL, anchor="middle")
                free = x - half - 8.0
        write(self.canv, truncated(ALONG, SMALL, self.width), LEFT, BOTTOM - 40.0, SMALL)

    def _line(self, line: Line) -> None:
        """Line segments between consecutive points, and a mark at each point."""
        places = [
            None if value is None else (self._x(index), self._y(value)) for index, value in enumerate(line.values)
        ]
        draw_line(self.canv, places, 1.3, LIGHT.of(line.colour), line.dash)
        for place in filter(None, places):
            self._mark(line, *place)

    def _mark(self, line: Line, x: float, y: float) -> None:
        if line.mark:
            draw_mark(self.canv, line.mark, (x, y), LIGHT.of(line.colour))

    def _names(self, right: float) -> None:
        ends = [(self._y(line.values[-1]), number, line) for number, line in enumerate(self.lines) if line.values[-1]]
        ends.sort(key=lambda end: end[:2])
        for (y, _, line), label_y in zip(ends, spread([end[0] for end in ends], LABEL), strict=True):
            draw_rule(self.canv, (self._x(len(self.categories) - 1) + 5.0, y, right, y), 0.4, LIGHT.quiet)
            draw_rule(self.canv, (right, y, right + 9.0, label_y), 0.4, LIGHT.quiet)
            self._mark(line, right + 15.0, label_y)
            write(self.canv, truncated(line.name, SMALL, RIGHT - BESIDE), right + BESIDE, label_y - 2.8, SMALL)
