"""Marks of the charts on paper: fills that mean the same as on the screens, lines, spots, and scales.

Every fill is told by its pattern and every mark by its form, so that a grey print reads like a coloured one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, cos, floor, log10, radians, sin

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas

from pages.paper.lines import Style, fitted, width, write
from pages.shared.palette import CROSS, LIGHT, SLANT, SOLID

SMALL = Style(size=8.0, colour=LIGHT.quiet)
SHEET = HexColor("#FFFFFF")
LABEL = 10.5
"""Distance between two labels that stand below each other, in points."""


@dataclass(frozen=True, slots=True)
class Fill:
    """A colour with its pattern, and what the two mean."""

    words: str
    colour: str
    pattern: str


KEPT = Fill("kept", LIGHT.kept, SOLID)
CYBER = Fill("lost to cyber exposure", LIGHT.cyber, CROSS)
SHARED = Fill("lost to shared causes", LIGHT.shared, SLANT)


def box(canvas: Canvas, fill: Fill, left: float, bottom: float, long: float, high: float) -> None:
    """A bar, hatched with lines of paper."""
    canvas.saveState()
    canvas.setFillColor(HexColor(fill.colour))
    canvas.setStrokeColor(HexColor(fill.colour))
    canvas.setLineWidth(0.5)
    canvas.rect(left, bottom, long, high, fill=1)
    path = canvas.beginPath()
    path.rect(left + 0.25, bottom, max(0.0, long - 0.5), high)
    canvas.clipPath(path, stroke=0)
    canvas.setStrokeColor(SHEET)
    canvas.setLineWidth(0.8 if fill.pattern == CROSS else 1.3)
    step = 4.0 if fill.pattern == CROSS else 4.6
    for at in range(int((long + high) / step) + 2 if fill.pattern else 0):
        x = left - high + at * step
        canvas.line(x, bottom, x + high, bottom + high)
        if fill.pattern == CROSS:
            canvas.line(x, bottom + high, x + high, bottom)
    canvas.restoreState()


def rule(canvas: Canvas, ends: tuple[float, float, float, float], thick: float, colour: str, *dash: float) -> None:
    """A line from (x, y) to (x, y), dashed by lengths in points."""
    canvas.saveState()
    canvas.setStrokeColor(HexColor(colour))
    canvas.setLineWidth(thick)
    canvas.setDash(list(dash))
    canvas.line(*ends)
    canvas.restoreState()


def spot(canvas: Canvas, x: float, y: float, colour: str, *, square: bool = False) -> None:
    """A dot, or a square on its corner, with a rim of paper."""
    canvas.saveState()
    canvas.translate(x, y)
    canvas.setFillColor(HexColor(colour))
    canvas.setStrokeColor(SHEET)
    canvas.setLineWidth(1.0)
    if square:
        canvas.rotate(45.0)
        canvas.rect(-3.4, -3.4, 6.8, 6.8, fill=1)
    else:
        canvas.circle(0.0, 0.0, 3.9, fill=1)
    canvas.restoreState()


@dataclass(frozen=True, slots=True)
class Mark:
    """A form that tells one line from another: a dot, or a polygon whose first corner stands at an angle; full or hollow."""

    corners: int = 0
    angle: float = 0.0
    hollow: bool = False

    def draw(self, canvas: Canvas, x: float, y: float, colour: str) -> None:
        """Draw it around a place."""
        canvas.saveState()
        canvas.setStrokeColor(HexColor(colour))
        canvas.setFillColor(SHEET if self.hollow else HexColor(colour))
        canvas.setLineWidth(1.1)
        if self.corners:
            path = canvas.beginPath()
            for at in range(self.corners):
                turn = radians(self.angle + 360.0 * at / self.corners)
                (path.lineTo if at else path.moveTo)(x + 4.2 * cos(turn), y + 4.2 * sin(turn))
            path.close()
            canvas.drawPath(path, fill=1)
        else:
            canvas.circle(x, y, 3.2, fill=1)
        canvas.restoreState()


MARKS = tuple(
    Mark(corners, angle, hollow)
    for hollow in (False, True)
    for corners, angle in ((0, 0.0), (4, 45.0), (3, 90.0), (3, 270.0))
)


@dataclass(frozen=True, slots=True)
class Scale:
    """From ``low`` to ``high`` between two places on the page; logarithmic unless ``linear``."""

    low: float
    high: float
    words: str
    linear: bool = False

    def share(self, value: float) -> float:
        """Place of a value, 0 at the low end and 1 at the high one; what lies beyond stands at the end."""
        low, high, at = (one if self.linear else log10(one) for one in (self.low, self.high, max(value, self.low)))
        return min(1.0, max(0.0, (at - low) / (high - low)))

    def ticks(self) -> list[tuple[float, str]]:
        """Values on the scale and how they are written: whole decades, and steps between them where there are few."""
        if self.linear:
            return [(at, f"{at:g} %") for at in (0.0, 25.0, 50.0, 75.0, 100.0)]
        decades = range(floor(log10(self.low)), ceil(log10(self.high)) + 1)
        for steps in ((1.0,), (1.0, 2.0, 5.0), (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0)):
            found = [one for at in decades for step in steps if self.low <= (one := step * 10.0**at) <= self.high]
            if len(found) > 2:
                break
        return [(one, f"{one:,.6g}" if one < 1e6 else f"{one:,.0f}") for one in found]


def spanning(values: Sequence[float], words: str) -> Scale:
    """A logarithmic scale with a little room around the values."""
    return Scale(min(values) / 1.2, max(values) * 1.2, words)


def across(canvas: Canvas, scale: Scale, sides: tuple[float, float], y: float) -> None:
    """A scale under a chart, its name below; a number that would touch the one before it is left out."""
    left, right = sides
    rule(canvas, (left, y, right, y), 0.5, LIGHT.line)
    free = left - 1.0
    for value, words in scale.ticks():
        x, long = left + scale.share(value) * (right - left), width(words, SMALL)
        start = min(max(left, x - long / 2.0), right - long)
        rule(canvas, (x, y, x, y - 3.0), 0.5, LIGHT.quiet)
        if start >= free:
            write(canvas, words, start, y - 12.0, SMALL)
            free = start + long + 8.0
    write(canvas, fitted(scale.words, SMALL, right - left), left, y - 24.0, SMALL)


def upright(canvas: Canvas, scale: Scale, sides: tuple[float, float], ends: tuple[float, float]) -> None:
    """A scale at the left of a chart with thin rules through it; its name is written by the chart."""
    (left, right), (bottom, top) = sides, ends
    free = -1.0
    for value, words in scale.ticks():
        y = bottom + scale.share(value) * (top - bottom)
        rule(canvas, (left, y, right, y), 0.4, LIGHT.line)
        if y >= free:
            write(canvas, words, left - 6.0, y - 2.8, SMALL, anchor="right")
            free = y + LABEL
