"""Renders rails and their legend as HTML, which is displayed faster than a plotly chart.

A session, which shows these rails, computes no band of the uncertainty, so none is drawn here; the legend knows it.

Only elements and styles that Streamlit keeps: it removes SVG. Typed text is escaped.
"""

from __future__ import annotations

import html
from collections.abc import Iterator

from pages.charts.chart_data import Bars, Fill, Row, Scale
from pages.charts.rails import ALONE, BAND, BEFORE, MEANINGS, RANGE, TARGET
from pages.presentation.palette import CROSS, SLANT, Palette

HIGH, TOP, BAR = 34, 8, 16
"""Height of the strip below a label, top of the bar in it, and height of the bar [px]."""

NARROW, DIGIT, GAP = 300.0, 7.0, 6.0
"""Width of a chart on a narrow phone, width of a digit, and minimum distance between two numbers [px]."""


def background(fill: Fill, palette: Palette) -> str:
    """The CSS background of a fill: its colour, hatched in the background colour."""
    colour, paper = palette.of(fill.colour), palette.paper
    if fill.pattern == CROSS:
        lines = (f"repeating-linear-gradient({turn}deg,transparent 0 3px,{paper} 3px 4px)" for turn in (45, -45))
        return f"{','.join(lines)},{colour}"
    if fill.pattern == SLANT:
        return f"repeating-linear-gradient(-45deg,transparent 0 3px,{paper} 3px 5px),{colour}"
    return colour


def legend(palette: Palette, *more: str) -> str:
    """Legend of a rail, with further marks; it wraps on a narrow screen."""
    entries: tuple[Fill | str, ...] = (*MEANINGS, *more)
    spans = "".join(
        f'<span style="white-space:nowrap"><span style="{_symbol(entry, palette)}"></span>'
        f"{html.escape(entry if isinstance(entry, str) else entry.label)}</span>"
        for entry in entries
    )
    return f'<div style="display:flex;flex-wrap:wrap;gap:2px 18px;font-size:0.875rem;forced-color-adjust:none">{spans}</div>'


def _symbol(entry: Fill | str, palette: Palette) -> str:
    box = "display:inline-block;width:22px;height:11px;margin-right:6px"
    if isinstance(entry, Fill):
        return f"{box};background:{background(entry, palette)}"
    return {
        ALONE: f"{box};width:10px;border-radius:5px;height:10px;background:{palette.kept}",
        TARGET: f"{box};width:4px;height:16px;vertical-align:-3px;background:{palette.ink}",
        RANGE: f"{box};height:7px;vertical-align:1px;box-sizing:border-box;{_bracket(palette)}",
        BAND: f"{box};height:7px;vertical-align:1px;{_line(palette)},{_diamond(palette)}",
    }[entry]


def _line(palette: Palette) -> str:
    """A thin line along the middle."""
    return f"background:linear-gradient({palette.ink},{palette.ink}) 0 50%/100% 1.5px no-repeat"


def _bracket(palette: Palette) -> str:
    """A thin line with end marks: the range while questions are open."""
    return f"border:solid {palette.ink};border-width:0 1.5px;{_line(palette)}"


def _diamond(palette: Palette) -> str:
    """Further backgrounds: a diamond in the middle of a symbol, put together from four corners."""
    corners = ((135, "7.5px 0"), (225, "11px 0"), (45, "7.5px 3.5px"), (315, "11px 3.5px"))
    return ",".join(
        f"linear-gradient({turn}deg,transparent 50%,{palette.ink} 0) {at}/3.5px 3.5px no-repeat" for turn, at in corners
    )


def bar_chart(chart: Bars, palette: Palette) -> str:
    """Rows of bars with labels above them, over one scale; to a screen reader it is one image with a text alternative."""
    rows = "".join(_row(row, chart, palette) for row in chart.rows)
    words = chart.scale.label + (f"; dotted: {BEFORE}" if BEFORE in chart.legend else "")
    label = html.escape(chart.alt_text)
    look = f"color:{palette.ink};font-size:0.875rem;line-height:1.35;forced-color-adjust:none"
    return f'<div class="rails" role="img" aria-label="{label}" style="{look}">{rows}{_axis(chart.scale, words, palette)}</div>'


def _row(row: Row, chart: Bars, palette: Palette) -> str:
    """A row of a chart; hovering shows its figures."""
    key, name = map(html.escape, row.name)
    cut = "overflow:hidden;text-overflow:ellipsis;white-space:nowrap"
    label = f'<div style="{cut}"><b>{key}</b>&ensp;{name}</div>'
    figures = f'<div style="color:{palette.quiet};font-size:0.8125rem">{html.escape(row.figures)}</div>'
    strip = "".join((*_backdrop(chart, palette), *_elements(row, chart.scale, palette)))
    numbers = html.escape("\n".join(chart.numbers(row)))
    return f'<div title="{numbers}">{label}{figures}<div style="position:relative;height:{HIGH}px">{strip}</div></div>'


def _backdrop(chart: Bars, palette: Palette) -> Iterator[str]:
    """The range behind all rows, in the strip of one."""
    if chart.backdrop:
        look = f"top:0;height:{HIGH}px;background:{palette.line}59;border:dotted {palette.quiet};border-width:0 1.5px"
        yield _element("backdrop", chart.scale, chart.backdrop, f"{look};box-sizing:border-box")


def _elements(row: Row, scale: Scale, palette: Palette) -> Iterator[str]:
    """Elements of the strip of a row, from back to front."""
    middle = TOP + BAR // 2
    for value, _ in scale.ticks():
        yield _element("line", scale, (value,), f"top:0;height:{HIGH}px;width:1px;background:{palette.line}")
    for start, end, fill in row.bars:
        if start != end:
            look = f"top:{TOP}px;height:{BAR}px;background:{background(fill, palette)}"
            yield _element(fill.colour, scale, (start, end), look)
    if row.ghost:
        look = f"top:{TOP - 3}px;height:{BAR + 6}px;border:2px dotted {palette.ink};box-sizing:border-box"
        yield _element("before", scale, row.ghost, look)
    if row.whisker:
        yield _element(
            "range", scale, row.whisker, f"top:{HIGH - 7}px;height:7px;box-sizing:border-box;{_bracket(palette)}"
        )
    if row.tick is not None:
        look = f"top:{TOP - 6}px;height:{BAR + 12}px;width:4px;margin-left:-2px;background:{palette.ink}"
        yield _element("target", scale, (row.tick,), look)
    if row.dot is not None:
        look = f"width:12px;height:12px;margin-left:-6px;border-radius:6px;border:1.5px solid {palette.paper}"
        yield _element(
            "alone", scale, (row.dot,), f"top:{middle - 6}px;{look};background:{palette.kept};box-sizing:border-box"
        )


def _element(what: str, scale: Scale, ends: tuple[float, ...], look: str) -> str:
    """An element at one value, or between two."""
    left, right = min(map(scale.share, ends)), max(map(scale.share, ends))
    wide = f"width:{(right - left) * 100.0:.3f}%;" if len(ends) > 1 else ""
    return f'<div class="{what}" style="position:absolute;left:{left * 100.0:.3f}%;{wide}{look}"></div>'


def _axis(scale: Scale, words: str, palette: Palette) -> str:
    numbers = "".join(
        f'<span style="position:absolute;left:{share:.3f}%;transform:translateX(-{share:.3f}%)">{number}</span>'
        for share, number in _spaced_ticks(scale)
    )
    line = f"position:relative;height:1.2rem;border-top:1px solid {palette.line}"
    look = f"color:{palette.quiet};font-size:0.8125rem"
    return f'<div style="{look}"><div style="{line}">{numbers}</div>{html.escape(words)}</div>'


def _spaced_ticks(scale: Scale) -> Iterator[tuple[float, str]]:
    """Ticks with their position in per cent; a number that would touch the one before it on a phone is left out."""
    free = 0.0
    for value, number in scale.ticks():
        share, wide = scale.share(value) * 100.0, (len(number) * DIGIT + GAP) / NARROW * 100.0
        if share - wide * share / 100.0 >= free:
            yield share, number
            free = share + wide * (1.0 - share / 100.0)
