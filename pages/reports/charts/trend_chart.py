"""Figures over the revisions of a system as lines, on paper."""

from __future__ import annotations

from pages.charts.chart_data import Line, Trend
from pages.presentation.palette import LIGHT
from pages.reports.charts.curve_chart import apart
from pages.reports.charts.marks import LABEL, SMALL, rule, sign, track, upright
from pages.reports.layout.blocks import Block
from pages.reports.layout.text_lines import fitted, width, write

HIGH, LEFT, RIGHT, TOP, BOTTOM = 236.0, 46.0, 136.0, 24.0, 46.0
INSIDE, BESIDE = 18.0, 22.0
"""Room between the sides of the chart and its first and last place, and between a place at the right and its name."""
ALONG = "revisions of this system and the days on which they were fixed, evenly spaced"


class Courses(Block):
    """Lines over places in order. Each is told by its dashes and its mark, which stands beside its name too."""

    spaceAfter = 14.0  # noqa: N815

    def __init__(self, drawn: Trend) -> None:
        super().__init__()
        self.courses, self.stops, self.up = drawn.lines, drawn.stops, drawn.up

    def tall(self, _room: float) -> float:
        """Height in points."""
        return HIGH

    def split(self, _room: float, _height: float) -> list[Block]:
        """A chart stays whole."""
        return []

    def _x(self, at: int) -> float:
        room = self.width - LEFT - RIGHT - 2.0 * INSIDE
        return LEFT + INSIDE + room * at / max(1, len(self.stops) - 1)

    def _y(self, value: float) -> float:
        return BOTTOM + self.up.share(value) * (HIGH - BOTTOM - TOP)

    def draw(self) -> None:
        """Draw scales, lines, and their names in the order in which they end."""
        right = self.width - RIGHT
        write(self.canv, fitted(self.up.words, SMALL, self.width), 0.0, HIGH - 10.0, SMALL)
        upright(self.canv, self.up, (LEFT, right), (BOTTOM, HIGH - TOP))
        self._along(right)
        for line in self.courses:
            self._line(line)
        self._names(right)

    def _along(self, right: float) -> None:
        """Places and their days; words that would touch those at their right are left out, so the last always stands."""
        rule(self.canv, (LEFT, BOTTOM, right, BOTTOM), 0.5, LIGHT.line)
        free = self.width
        for at in reversed(range(len(self.stops))):
            x, words = self._x(at), self.stops[at]
            half = max(width(text, SMALL) for text in words) / 2.0
            rule(self.canv, (x, BOTTOM, x, BOTTOM - 3.0), 0.5, LIGHT.quiet)
            if x + half <= free:
                for row, text in enumerate(words):
                    write(self.canv, text, x, BOTTOM - 12.0 - row * LABEL, SMALL, anchor="middle")
                free = x - half - 8.0
        write(self.canv, fitted(ALONG, SMALL, self.width), LEFT, BOTTOM - 40.0, SMALL)

    def _line(self, line: Line) -> None:
        """Pieces between places that follow each other, and a mark at each place."""
        places = [None if value is None else (self._x(at), self._y(value)) for at, value in enumerate(line.values)]
        track(self.canv, places, 1.3, LIGHT.of(line.colour), line.dash)
        for place in filter(None, places):
            self._mark(line, *place)

    def _mark(self, line: Line, x: float, y: float) -> None:
        if line.mark:
            sign(self.canv, line.mark, x, y, LIGHT.of(line.colour))

    def _names(self, right: float) -> None:
        ends = [(self._y(line.values[-1]), number, line) for number, line in enumerate(self.courses) if line.values[-1]]
        ends.sort(key=lambda end: end[:2])
        for (y, _, line), at in zip(ends, apart([end[0] for end in ends], LABEL), strict=True):
            rule(self.canv, (self._x(len(self.stops) - 1) + 5.0, y, right, y), 0.4, LIGHT.quiet)
            rule(self.canv, (right, y, right + 9.0, at), 0.4, LIGHT.quiet)
            self._mark(line, right + 15.0, at)
            write(self.canv, fitted(line.name, SMALL, RIGHT - BESIDE), right + BESIDE, at - 2.8, SMALL)
