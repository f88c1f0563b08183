"""The curve of a function against the beta of one of its groups, on paper."""

from __future__ import annotations

from collections.abc import Sequence

from pages.charts.chart_data import Curve, Line
from pages.presentation.palette import LIGHT
from pages.reports.charts.marks import LABEL, SMALL, Place, across, rule, spot, track, upright
from pages.reports.layout.blocks import Block
from pages.reports.layout.text_lines import Style, fitted, width, write

HEAVY = Style(size=8.0, bold=True)
HIGH, LEFT, RIGHT, TOP, BOTTOM = 300.0, 46.0, 84.0, 24.0, 62.0


class Graph(Block):
    """Lines over beta with the names of the votings at their right ends."""

    spaceAfter = 14.0  # noqa: N815

    def __init__(self, drawn: Curve) -> None:
        super().__init__()
        self.drawn = drawn

    def tall(self, _room: float) -> float:
        """Height in points."""
        return HIGH

    def split(self, _room: float, _height: float) -> list[Block]:
        """A graph stays whole."""
        return []

    def _x(self, value: float) -> float:
        return LEFT + self.drawn.along.share(value) * (self.width - LEFT - RIGHT)

    def _y(self, value: float) -> float:
        return BOTTOM + self.drawn.up.share(value) * (HIGH - BOTTOM - TOP)

    def draw(self) -> None:
        """Draw scales, lines, their names, and where the group stands."""
        right = self.width - RIGHT
        self._scales(right)
        for line in self.drawn.lines:
            track(self.canv, self._places(line), 2.4 if line.heavy else 0.9, LIGHT.of(line.colour), line.dash)
        self._names(right)
        self._stands()

    def _scales(self, right: float) -> None:
        across(self.canv, self.drawn.along, (LEFT, right), BOTTOM)
        write(self.canv, fitted(self.drawn.up.words, SMALL, self.width), 0.0, HIGH - 10.0, SMALL)
        upright(self.canv, self.drawn.up, (LEFT, right), (BOTTOM, HIGH - TOP))

    def _places(self, line: Line) -> list[Place | None]:
        points = zip(self.drawn.places, line.values, strict=True)
        return [None if value is None else (self._x(place), self._y(value)) for place, value in points]

    def _names(self, right: float) -> None:
        """Names at the right ends of the lines, moved apart where two would meet, each with a thin lead to its line."""
        goal = self._y(self.drawn.limit)
        rule(self.canv, (LEFT, goal, right, goal), 2.2, LIGHT.ink)
        ends = [(goal, "target", HEAVY)]
        ends += [
            (self._y(line.values[-1]), line.name, HEAVY if line.heavy else SMALL)
            for line in self.drawn.lines
            if line.values[-1] is not None
        ]
        ends.sort(key=lambda end: end[0])
        for (y, words, style), at in zip(ends, apart([end[0] for end in ends], LABEL), strict=True):
            rule(self.canv, (right, y, right + 9.0, at), 0.4, LIGHT.quiet)
            write(self.canv, words, right + 12.0, at - 2.8, style)

    def _stands(self) -> None:
        """The marked places on the line as built, named below the scale."""
        x = LEFT
        for marked in self.drawn.spots:
            colour = LIGHT.of(marked.colour)
            spot(self.canv, self._x(marked.x), self._y(marked.y), colour, square=marked.square)
            spot(self.canv, x + 4.0, 14.8, colour, square=marked.square)
            write(self.canv, marked.words, x + 13.0, 12.0, SMALL)
            x += width(marked.words, SMALL) + 34.0


def apart(places: Sequence[float], least: float) -> list[float]:
    """Rising places moved so that each stands at least so far above the one before, and all as little as can be.

    >>> apart([0.0, 1.0, 50.0], 10.0)
    [-4.5, 5.5, 50.0]
    """
    blocks: list[list[float]] = []  # places that touch, as if each stood at ``least`` from the next
    for place in places:
        blocks.append([place])
        while len(blocks) > 1 and _start(blocks[-2], least) + len(blocks[-2]) * least > _start(blocks[-1], least):
            last = blocks.pop()
            blocks[-1].extend(last)
    return [_start(block, least) + at * least for block in blocks for at in range(len(block))]


def _start(block: Sequence[float], least: float) -> float:
    return sum(place - at * least for at, place in enumerate(block)) / len(block)
