"""The curve of a function against the beta of one of its groups, on paper."""

from __future__ import annotations

from collections.abc import Sequence
from math import log10

from numpy import interp
from reportlab.lib.colors import HexColor

from checks.curves import Curve, Curves
from checks.figures import measure, measure_name, percent
from pages.paper.blocks import Block
from pages.paper.ink import LABEL, SMALL, Scale, across, rule, spanning, spot, upright
from pages.paper.lines import Style, fitted, width, write
from pages.shared.palette import LIGHT

DASHES = ((5.0, 2.5), (1.2, 2.0), (5.0, 2.0, 1.2, 2.0), (9.0, 2.5), (9.0, 2.0, 1.2, 2.0))
HEAVY = Style(size=8.0, bold=True)
HIGH, LEFT, RIGHT, TOP, BOTTOM = 300.0, 46.0, 84.0, 24.0, 62.0


class Graph(Block):
    """Lines over beta with the names of the votings at their right ends."""

    spaceAfter = 14.0  # noqa: N815

    def __init__(self, drawn: Curves, *, demand: str, limit: float) -> None:
        super().__init__()
        self.drawn, self.demand, self.goal = drawn, demand, 1.0 / limit
        ends = [1.0 / float(one) for curve in drawn.curves for one in (curve.result.min(), curve.result.max())]
        words = "risk reduction factor" if demand == "low" else "hours to a dangerous failure, 1/PFH"
        self.up = spanning([*ends, self.goal], f"{words}, log scale")
        beta = drawn.beta_int
        words = "beta of a 1oo2 group of these devices (beta_int), per cent, log scale"
        self.along = Scale(float(beta[0]) * 100.0, float(beta[-1]) * 100.0, words)

    def tall(self, _room: float) -> float:
        """Height in points."""
        return HIGH

    def split(self, _room: float, _height: float) -> list[Block]:
        """A graph stays whole."""
        return []

    def _x(self, beta: float) -> float:
        return LEFT + self.along.share(beta * 100.0) * (self.width - LEFT - RIGHT)

    def _y(self, goodness: float) -> float:
        return BOTTOM + self.up.share(goodness) * (HIGH - BOTTOM - TOP)

    def draw(self) -> None:
        """Draw scales, lines, their names, and where the group stands."""
        right = self.width - RIGHT
        self._scales(right)
        dashes = iter(DASHES)
        for curve in sorted(self.drawn.curves, key=lambda one: one.as_built):
            self._line(curve, () if curve.as_built else next(dashes))
        self._names(right)
        self._stands()

    def _scales(self, right: float) -> None:
        across(self.canv, self.along, (LEFT, right), BOTTOM)
        write(self.canv, fitted(self.up.words, SMALL, self.width), 0.0, HIGH - 10.0, SMALL)
        upright(self.canv, self.up, (LEFT, right), (BOTTOM, HIGH - TOP))

    def _line(self, curve: Curve, dash: Sequence[float]) -> None:
        self.canv.saveState()
        self.canv.setStrokeColor(HexColor(LIGHT.kept if curve.as_built else LIGHT.quiet))
        self.canv.setLineWidth(2.4 if curve.as_built else 0.9)
        self.canv.setDash(list(dash))
        path = self.canv.beginPath()
        for at, (beta, result) in enumerate(zip(self.drawn.beta_int, curve.result, strict=True)):
            (path.lineTo if at else path.moveTo)(self._x(float(beta)), self._y(1.0 / float(result)))
        self.canv.drawPath(path)
        self.canv.restoreState()

    def _names(self, right: float) -> None:
        """Names at the right ends of the lines, moved apart where two would meet, each with a thin lead to its line."""
        rule(self.canv, (LEFT, self._y(self.goal), right, self._y(self.goal)), 2.2, LIGHT.ink)
        ends = [(self._y(self.goal), "target", HEAVY)]
        for one in self.drawn.curves:
            words, style = (f"{one.voting} as built", HEAVY) if one.as_built else (f"{one.voting} instead", SMALL)
            ends.append((self._y(1.0 / float(one.result[-1])), words, style))
        ends.sort(key=lambda end: end[0])
        for (y, words, style), at in zip(ends, apart([end[0] for end in ends], LABEL), strict=True):
            rule(self.canv, (right, y, right + 9.0, at), 0.4, LIGHT.quiet)
            write(self.canv, words, right + 12.0, at - 2.8, style)

    def _stands(self) -> None:
        """The group as scored and as adjusted on the line as built, named below the scale."""
        built = next(one for one in self.drawn.curves if one.as_built)
        xs, ys = [log10(one) for one in self.drawn.beta_int], [log10(one) for one in built.result]
        x = LEFT
        for beta, name, square in (
            (self.drawn.scored_beta_int, "as scored", False),
            (self.drawn.adjusted_beta_int, "as adjusted", True),
        ):
            inside = max(beta, float(self.drawn.beta_int[0]))  # a beta below the scale stands at its end
            result = 10.0 ** float(interp(log10(inside), xs, ys))
            colour = LIGHT.cyber if square else LIGHT.ink
            spot(self.canv, self._x(inside), self._y(1.0 / result), colour, square=square)
            words = f"{name}: beta_int {percent(beta)}, {measure_name(self.demand)} {measure(self.demand, result)}"
            spot(self.canv, x + 4.0, 14.8, colour, square=square)
            write(self.canv, words, x + 13.0, 12.0, SMALL)
            x += width(words, SMALL) + 34.0


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
