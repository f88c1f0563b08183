"""Content of a chart, independent of the renderer: scales, rows of bars over a scale, lines over two scales.

``rails`` and ``line_charts`` build it from results. The renderers only draw: ``plotly_figures`` with plotly, ``rail_html`` as
HTML, ``pages.reports`` on paper. Patterns distinguish fills, dashes and marks distinguish lines; colour is only an aid.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

from checks.text.number_format import percent, significant
from pages.presentation.palette import Colour

Dash = tuple[float, ...]
DASHES: tuple[Dash, ...] = ((5.0, 2.5), (1.2, 2.0), (5.0, 2.0, 1.2, 2.0), (9.0, 2.5), (9.0, 2.0, 1.2, 2.0))
"""Lengths of dashes and gaps, in points on paper."""


@dataclass(frozen=True, slots=True)
class Fill:
    """A colour with its pattern (``palette.SOLID``, ``CROSS``, ``SLANT``, ``UPRIGHT`` or ``LEVEL``) and its meaning as legend label."""

    label: str
    colour: Colour
    pattern: str


@dataclass(frozen=True, slots=True)
class Mark:
    """Marker of a line; ``form`` is ``circle``, ``square``, ``diamond``, ``triangle-up`` or ``triangle-down``."""

    form: str
    hollow: bool = False


MARKS = tuple(
    Mark(form, hollow) for hollow in (False, True) for form in ("circle", "square", "triangle-up", "triangle-down")
)


@dataclass(frozen=True, slots=True)
class Scale:
    """An axis from ``low`` to ``high`` with its name as ``label``; logarithmic, or ``linear`` in per cent."""

    low: float
    high: float
    label: str
    linear: bool = False

    def share(self, value: float) -> float:
        """Position of a value from 0 at the low end to 1 at the high end; values outside are clipped."""
        low, high, position = (
            number if self.linear else log10(number) for number in (self.low, self.high, max(value, self.low))
        )
        return min(1.0, max(0.0, (position - low) / (high - low)))

    def ticks(self) -> list[tuple[float, str]]:
        """Tick values and labels: whole decades, with steps in between if there are fewer than three."""
        if self.linear:
            return [(value, f"{value:g} %") for value in (0.0, 25.0, 50.0, 75.0, 100.0)]
        decades = range(floor(log10(self.low)), ceil(log10(self.high)) + 1)
        for steps in ((1.0,), (1.0, 2.0, 5.0), (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0)):
            values = [
                value for decade in decades for step in steps if self.low <= (value := step * 10.0**decade) <= self.high
            ]
            if len(values) > 2:
                break
        return [(value, f"{value:,.6g}" if value < 1e6 else _million(value)) for value in values]


def _value(value: float) -> str:
    """A value of a logarithmic scale with two significant digits."""
    return significant(value) if value < 1e6 else _million(float(f"{value:.1e}"))


def _million(value: float) -> str:
    """A tick label from a million up, short enough for a narrow screen, such as 1e6 or 1.5e7."""
    decade = floor(log10(value) + 1e-9)
    return f"{value / 10.0**decade:g}e{decade}"


def scale_around(values: Sequence[float], words: str) -> Scale:
    """A logarithmic scale that spans the values with a margin."""
    return Scale(min(values) / 1.2, max(values) * 1.2, words)


@dataclass(frozen=True, slots=True)
class Row:
    """One row of bars: a label with its figures, and the marks below them, in values of the scale.

    ``name`` is an id and a name, as somebody typed them; ``bars`` are start, end and fill. ``dot`` marks a result,
    ``tick`` the target, ``whisker`` the range while questions are open, ``band`` the 5 %, 50 % and 95 % value of the uncertainty
    and ``ghost`` the ends of an earlier state.
    """

    name: tuple[str, str]
    figures: str
    bars: tuple[tuple[float, float, Fill], ...] = ()
    dot: float | None = None
    tick: float | None = None
    whisker: tuple[float, float] | None = None
    ghost: tuple[float, float] | None = None
    band: tuple[float, float, float] | None = None

    @property
    def values(self) -> list[float]:
        """All values in the row, to fit the scale."""
        ends = [end for bar in self.bars for end in bar[:2]] + [*(self.whisker or ()), *(self.ghost or ())]
        ends += self.band or ()
        return [*ends, *(value for value in (self.dot, self.tick) if value is not None)]

    @property
    def alt_text(self) -> str:
        """Text alternative of the row."""
        return f"{self.name[0]}: {self.figures}"


@dataclass(frozen=True, slots=True)
class Bars:
    """Rows over one scale, the first on top; the legend explains fills and marks.

    ``backdrop`` is a range behind all rows, shaded between two dotted lines; the text beside the chart names it.
    """

    rows: tuple[Row, ...]
    scale: Scale
    legend: tuple[Fill | str, ...]
    backdrop: tuple[float, float] | None = None

    @property
    def alt_text(self) -> str:
        """Text alternative of the chart."""
        return "; ".join(row.alt_text for row in self.rows)

    def numbers(self, row: Row) -> list[str]:
        """The figures of a row in words, one line each: result and verdict, then each bar, range and mark in values of the scale."""
        lines = [row.figures]
        lines += [f"{fill.label}: {self._span(start, end)}" for start, end, fill in row.bars if start != end]
        lines += [f"range while questions are open: {self._span(*row.whisker)}"] if row.whisker else []
        if row.band:
            low, median, high = row.band
            lines.append(f"5 % to 95 % of the uncertainty: {self._span(low, high)}, median {_value(median)}")
        lines += [f"before: {self._span(*row.ghost)}"] if row.ghost else []
        return lines

    def _span(self, start: float, end: float) -> str:
        if self.scale.linear:
            return f"{percent(start / 100.0)} to {percent(end / 100.0)}"
        return f"{_value(start)} to {_value(end)}"

    @property
    def fills(self) -> list[Fill]:
        """The fills in drawing order."""
        return list(dict.fromkeys(fill for row in self.rows for _, _, fill in row.bars))


@dataclass(frozen=True, slots=True)
class Line:
    """A line: name, value at each x position (None if missing), and style."""

    name: str
    values: tuple[float | None, ...]
    colour: Colour
    dash: Dash = ()
    heavy: bool = False
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class MarkedPoint:
    """A marked point with its name and its figures as ``label``; a dot, or a diamond with ``square``."""

    name: str
    label: str
    x: float
    y: float
    colour: Colour
    square: bool


@dataclass(frozen=True, slots=True)
class Curve:
    """Lines over a scale, the last on top, with the target as a horizontal line and marked points."""

    x_scale: Scale
    y_scale: Scale
    places: tuple[float, ...]
    lines: tuple[Line, ...]
    limit: float
    marked_points: tuple[MarkedPoint, ...]


@dataclass(frozen=True, slots=True)
class OverTime:
    """Lines over the years of a mission, the last on top, with the target as a horizontal line.

    ``tests``: when something is tested, in years, with what is tested then.
    """

    years: tuple[float, ...]
    y_scale: Scale
    lines: tuple[Line, ...]
    limit: float
    tests: tuple[tuple[float, str], ...]


@dataclass(frozen=True, slots=True)
class Trend:
    """Lines over evenly spaced categories; a category is a label with its description."""

    categories: tuple[tuple[str, str], ...]
    y_scale: Scale
    lines: tuple[Line, ...]

    @property
    def alt_text(self) -> str:
        """Text alternative of the chart: the names of the lines."""
        return ", ".join(line.name for line in self.lines)
