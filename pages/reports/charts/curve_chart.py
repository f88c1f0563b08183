"""Result of a function against the beta of one of its groups, on paper."""

from __future__ import annotations

from collections.abc import Sequence

from pages.charts.chart_data import Curve, Line
from pages.presentation.palette import LIGHT
from pages.reports.charts.marks import (
    LABEL,
    SMALL,
    Point,
    draw_dot,
    draw_line,
    draw_rule,
    horizontal_axis,
    vertical_axis,
)
from pages.reports.layout.blocks import Block
from pages.reports.layout.text_lines import Style, truncated, width, write

HEAVY = Style(size=8.0, bold=True)
HEIGHT, LEFT, RIGHT, TOP, BOTTOM = 300.0, 46.0, 84.0, 24.0, 62.0


class CurveChart(Block):
    """Lines over beta, with the voting named at the right end of each."""

    spaceAfter = 14.0  # noqa: N815

    def __init__(self, chart: Curve) -> None:
        super().__init__()
        self.chart = chart

    def height_at(self, _room: float) -> float:
        """Height in points."""
        return HEIGHT

    def split(self, _room: float, _height: float) -> list[Block]:
        """Empty: the chart is never split."""
        return []

    def _x(self, value: float) -> float:
        return LEFT + self.chart.x_scale.share(value) * (self.width - LEFT - RIGHT)

    def _y(self, value: float) -> float:
        return BOTTOM + self.chart.y_scale.share(value) * (HEIGHT - BOTTOM - TOP)

    def draw(self) -> None:
        """Draw scales, lines with their names, and the marked points."""
        right = self.width - RIGHT
        self._scales(right)
        for line in self.chart.lines:
            draw_line(self.canv, self._places(line), 2.4 if line.heavy else 0.9, LIGHT.of(line.colour), line.dash)
        self._names(right)
        self._marked_places()

    def _scales(self, right: float) -> None:
        horizontal_axis(self.canv, self.chart.x_scale, (LEFT, right), BOTTOM)
        write(self.canv, truncated(self.chart.y_scale.label, SMALL, self.width), 0.0, HEIGHT - 10.0, SMALL)
        vertical_axis(self.canv, self.chart.y_scale, (LEFT, right), (BOTTOM, HEIGHT - TOP))

    def _places(self, line: Line) -> list[Point | None]:
        points = zip(self.chart.places, line.values, strict=True)
        return [None if value is None else (self._x(place), self._y(value)) for place, value in points]

    def _names(self, right: float) -> None:
        """Names at the right ends of the lines, spread where two would overlap, each with a thin leader line."""
        goal = self._y(self.chart.limit)
        draw_rule(self.canv, (LEFT, goal, right, goal), 2.2, LIGHT.ink)
        ends = [(goal, "target", HEAVY)]
        ends += [
            (self._y(line.values[-1]), line.name, HEAVY if line.heavy else SMALL)
            for line in self.chart.lines
            if line.values[-1] is not None
        ]
        ends.sort(key=lambda end: end[0])
        for (y, words, style), label_y in zip(ends, spread([end[0] for end in ends], LABEL), strict=True):
            draw_rule(self.canv, (right, y, right + 9.0, label_y), 0.4, LIGHT.quiet)
            write(self.canv, words, right + 12.0, label_y - 2.8, style)

    def _marked_places(self) -> None:
        """The marked points on the line as built, named below the scale."""
        x = LEFT
        for marked in self.chart.marked_points:
            colour = LIGHT.of(marked.colour)
            draw_dot(self.canv, self._x(marked.x), self._y(marked.y), colour, square=marked.square)
            draw_dot(self.canv, x + 4.0, 14.8, colour, square=marked.square)
            write(self.canv, marked.label, x + 13.0, 12.0, SMALL)
            x += width(marked.label, SMALL) + 34.0


def spread(places: Sequence[float], least: float) -> list[float]:
    """Ascending positions moved as little as possible to be at least ``least`` apart.

    >>> spread([0.0, 1.0, 50.0], 10.0)
    [-4.5, 5.5, 50.0]
    """
    blocks: list[list[float]] = []  # positions that touch, each ``least`` above the one before
    for place in places:
        blocks.append([place])
        while len(blocks) > 1 and _start(blocks[-2], least) + len(blocks[-2]) * least > _start(blocks[-1], least):
            last = blocks.pop()
            blocks[-1].extend(last)
    return [_start(block, least) + index * least for block in blocks for index in range(len(block))]


def _start(block: Sequence[float], least: float) -> float:
    return sum(place - index * least for index, place in enumerate(block)) / len(block)
