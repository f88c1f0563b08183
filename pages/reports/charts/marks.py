"""Drawing elements of the charts on paper: bars, rules, dots, lines, marks and axes.

Every fill has its own pattern and every mark its own shape, so that a black-and-white print is readable.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import cos, radians, sin

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas

from pages.charts.chart_data import Dash, Fill, Mark, Scale
from pages.presentation.palette import CROSS, LEVEL, LIGHT, SOLID, UPRIGHT
from pages.reports.layout.text_lines import Style, truncated, width, write

SMALL = Style(size=8.0, colour=LIGHT.quiet)
SHEET = HexColor("#FFFFFF")
LABEL = 10.5
"""Distance between two labels above each other, in points."""


def draw_bar(canvas: Canvas, fill: Fill, left: float, bottom: float, long: float, high: float) -> None:
    """Draw a bar, hatched in the paper colour."""
    canvas.saveState()
    colour = HexColor(LIGHT.of(fill.colour))
    canvas.setFillColor(colour)
    canvas.setStrokeColor(colour)
    canvas.setLineWidth(0.5)
    canvas.rect(left, bottom, long, high, fill=1)
    path = canvas.beginPath()
    path.rect(left + 0.25, bottom, max(0.0, long - 0.5), high)
    canvas.clipPath(path, stroke=0)
    canvas.setStrokeColor(SHEET)
    canvas.setLineWidth(0.8 if fill.pattern == CROSS else 1.3)
    step = 4.0 if fill.pattern == CROSS else 4.6
    for index in range(1, int(high / 2.6) + 1 if fill.pattern == LEVEL else 0):
        canvas.line(left, bottom + index * 2.6, left + long, bottom + index * 2.6)
    for index in range(int((long + high) / step) + 2 if fill.pattern not in (SOLID, LEVEL) else 0):
        x = left - high + index * step
        canvas.line(x, bottom, x if fill.pattern == UPRIGHT else x + high, bottom + high)
        if fill.pattern == CROSS:
            canvas.line(x, bottom + high, x + high, bottom)
    canvas.restoreState()


def draw_rule(canvas: Canvas, ends: tuple[float, float, float, float], thick: float, colour: str, *dash: float) -> None:
    """Draw a straight line from (x, y) to (x, y); ``dash`` are lengths in points."""
    canvas.saveState()
    canvas.setStrokeColor(HexColor(colour))
    canvas.setLineWidth(thick)
    canvas.setDash(list(dash))
    canvas.line(*ends)
    canvas.restoreState()


def draw_dot(canvas: Canvas, x: float, y: float, colour: str, *, square: bool = False) -> None:
    """Draw a dot, or a diamond with ``square``, with a rim in the paper colour."""
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


Point = tuple[float, float]


def draw_line(canvas: Canvas, places: Iterable[Point | None], thick: float, colour: str, dash: Dash) -> None:
    """Draw a line through points in order, interrupted at None."""
    canvas.saveState()
    canvas.setStrokeColor(HexColor(colour))
    canvas.setLineWidth(thick)
    canvas.setDash(list(dash))
    path, chart = canvas.beginPath(), False
    for place in places:
        if place is not None:
            (path.lineTo if chart else path.moveTo)(*place)
        chart = place is not None
    canvas.drawPath(path)
    canvas.restoreState()


CORNERS = {"square": (4, 45.0), "diamond": (4, 0.0), "triangle-up": (3, 90.0), "triangle-down": (3, 270.0)}
"""Number of corners of a shape, and the angle of the first in degrees; any other shape is a dot."""


def draw_mark(canvas: Canvas, mark: Mark, place: Point, colour: str, radius: float = 4.2) -> None:
    """Draw the mark of a line at a point; ``radius`` is that of its corners, in points."""
    x, y = place
    canvas.saveState()
    canvas.setStrokeColor(HexColor(colour))
    canvas.setFillColor(SHEET if mark.hollow else HexColor(colour))
    canvas.setLineWidth(1.1)
    corners, angle = CORNERS.get(mark.form, (0, 0.0))
    if corners:
        path = canvas.beginPath()
        for index in range(corners):
            turn = radians(angle + 360.0 * index / corners)
            (path.lineTo if index else path.moveTo)(x + radius * cos(turn), y + radius * sin(turn))
        path.close()
        canvas.drawPath(path, fill=1)
    else:
        canvas.circle(x, y, 3.2, fill=1)
    canvas.restoreState()


def horizontal_axis(canvas: Canvas, scale: Scale, sides: tuple[float, float], y: float) -> None:
    """Draw a scale below a chart with its name; a number that would touch the one before it is left out."""
    left, right = sides
    draw_rule(canvas, (left, y, right, y), 0.5, LIGHT.line)
    free = left - 1.0
    for value, words in scale.ticks():
        x, long = left + scale.share(value) * (right - left), width(words, SMALL)
        start = min(max(left, x - long / 2.0), right - long)
        draw_rule(canvas, (x, y, x, y - 3.0), 0.5, LIGHT.quiet)
        if start >= free:
            write(canvas, words, start, y - 12.0, SMALL)
            free = start + long + 8.0
    write(canvas, truncated(scale.label, SMALL, right - left), left, y - 24.0, SMALL)


def vertical_axis(canvas: Canvas, scale: Scale, sides: tuple[float, float], ends: tuple[float, float]) -> None:
    """Draw a scale at the left of a chart with thin grid lines; the chart writes its name."""
    (left, right), (bottom, top) = sides, ends
    free = -1.0
    for value, words in scale.ticks():
        y = bottom + scale.share(value) * (top - bottom)
        draw_rule(canvas, (left, y, right, y), 0.4, LIGHT.line)
        if y >= free:
            write(canvas, words, left - 6.0, y - 2.8, SMALL, anchor="right")
            free = y + LABEL
