"""Renders chart data with plotly. No Streamlit here, and no computation.

A figure is assembled as plain data and converted once without validation: validating every property takes ten times
longer than all other steps from a result to the screen. A test validates the finished figures instead.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import log10
from typing import Any

import plotly.graph_objects as go

from pages.charts.chart_data import Bars, Curve, Dash, Fill, Line, Mark, OverTime, Row, Scale, Trend
from pages.presentation.palette import FONT, Palette
from pages.presentation.wording import in_chart, shortened

CONFIG = {"displaylogo": False, "displayModeBar": False, "scrollZoom": False, "toImageButtonOptions": {"format": "svg"}}
ROW, BANDED_ROW = 66, 98
"""Height of a row, and of one with room for the band of the uncertainty below it [px]."""
RANGE_AT, BAND_AT = 0.22, 0.3
"""Where the range while questions are open and the band are drawn below the middle of a row, in rows."""
Data = dict[str, Any]


def figure(traces: list[Data], layout: Data) -> go.Figure:
    """A finished figure."""
    return go.Figure(data=traces, layout=layout, _validate=False)


def frame(palette: Palette, *, height: int, margin: tuple[int, int, int, int] = (8, 12, 8, 56)) -> Data:
    """Layout with the fonts and colours of the product; ``margin`` is left, right, top, bottom in px."""
    axis = {"gridcolor": palette.line, "linecolor": palette.line, "zeroline": False, "fixedrange": True}
    return {
        "height": height,
        "margin": dict(zip("lrtb", margin, strict=True)),
        "paper_bgcolor": "rgba(0,0,0,0)",
        "plot_bgcolor": "rgba(0,0,0,0)",
        "font": {"family": FONT, "size": 14, "color": palette.ink},
        "hoverlabel": {"font": {"family": FONT}, "bgcolor": palette.paper},
        "dragmode": False,
        "showlegend": False,
        "legend": {
            "orientation": "h",
            "y": 1.0,
            "yanchor": "bottom",
            "x": 0,
            "itemclick": False,
            "itemdoubleclick": False,
        },
        "barmode": "overlay",
        "xaxis": dict(axis),
        "yaxis": dict(axis),
    }


def axis(scale: Scale, palette: Palette) -> Data:
    """An axis of a scale, with its name and its ticks."""
    ends = (scale.low, scale.high) if scale.linear else (log10(scale.low), log10(scale.high))
    return {
        "type": "linear" if scale.linear else "log",
        "range": list(ends),
        "title": {"text": in_chart(scale.label).replace("; ", "<br>"), "font": {"size": 13, "color": palette.quiet}},
        "showgrid": True,
        "tickvals": [value for value, _ in scale.ticks()],
        "ticktext": [words for _, words in scale.ticks()],
    }


def rows_axis(count: int) -> Data:
    """Axis of ``count`` rows, the first on top, with room for its label."""
    return {"range": [count - 0.55, -0.92], "showticklabels": False, "showgrid": False}


def fill(kind: Fill, palette: Palette) -> Data:
    """Marker of a bar: its colour, hatched in the background colour."""
    hatching = {"shape": kind.pattern, "fillmode": "overlay", "fgcolor": palette.paper, "fgopacity": 1.0}
    colour = palette.of(kind.colour)
    line = {"color": colour, "width": 1}
    return {"color": colour, "line": line, "pattern": {**hatching, "solidity": 0.3, "size": 7}}


def bars(kind: Fill, rows: Sequence[int], spans: Sequence[tuple[float, float]], palette: Palette, **more: Any) -> Data:
    """Horizontal bars, one per row, each over its span."""
    return {
        "type": "bar",
        "orientation": "h",
        "name": kind.label,
        "y": list(rows),
        "base": [min(span) for span in spans],
        "x": [abs(span[1] - span[0]) for span in spans],
        "width": 0.35,
        "marker": fill(kind, palette),
        "hovertemplate": f"{kind.label}<extra></extra>",
        **more,
    }


def above(row: int, text: str, gap: float = 0.22) -> Data:
    """A label above the bar of a row, left-aligned."""
    left = {"x": 0, "xref": "paper", "xanchor": "left", "align": "left", "showarrow": False}
    return {**left, "y": row - gap, "yanchor": "bottom", "text": text}


def bar_chart(chart: Bars, palette: Palette, *, named: bool = False) -> go.Figure:
    """Rows of bars. A click anywhere in a row has its id as ``customdata``, and hovering shows its figures.

    ``named`` shows the legend of fills.
    """
    more, sides = (120, (16, 24, 60)) if named else (64, (8, 12, 4))
    high = BANDED_ROW if any(row.band for row in chart.rows) else ROW
    layout = frame(palette, height=len(chart.rows) * high + more, margin=(*sides, 56))
    layout["hoverlabel"] |= {"align": "left"}
    layout["xaxis"] |= axis(chart.scale, palette)
    layout["yaxis"] |= rows_axis(len(chart.rows))
    layout["showlegend"] = named
    layout["annotations"] = [_label(index, row, palette) for index, row in enumerate(chart.rows)]
    layout["shapes"] = [
        *_backdrop(chart, palette),
        *(shape for index, row in enumerate(chart.rows) for shape in _marks(index, row, palette)),
    ]
    traces = [_whole_rows(chart)]
    for kind in chart.fills:
        pieces = [
            (index, row.name[0], (start, end))
            for index, row in enumerate(chart.rows)
            for start, end, of in row.bars
            if of == kind
        ]
        rows, keys, spans = zip(*pieces, strict=True)
        traces.append(bars(kind, rows, spans, palette, customdata=list(keys), hoverinfo="skip", hovertemplate=None))
    return figure([*traces, *_dots(chart, palette)], layout)


def _backdrop(chart: Bars, palette: Palette) -> Iterator[Data]:
    """The range behind all rows."""
    if chart.backdrop:
        low, high = chart.backdrop
        behind = {"x0": low, "x1": high, "y0": 0.0, "y1": 1.0, "yref": "paper", "layer": "below"}
        dotted = {"color": palette.quiet, "width": 1.5, "dash": "dot"}
        yield {**behind, "type": "rect", "fillcolor": palette.line, "opacity": 0.35, "line": {"width": 0}}
        for value in (low, high):
            yield {**behind, "type": "line", "x0": value, "x1": value, "line": dotted}


def _whole_rows(chart: Bars) -> Data:
    """An invisible bar over the whole of each row, label included, which answers to the pointer in place of its parts."""
    scale, count = chart.scale, len(chart.rows)
    texts = ["<br>".join(map(in_chart, (" ".join(filter(None, row.name)), *chart.numbers(row)))) for row in chart.rows]
    return {
        "type": "bar",
        "orientation": "h",
        "name": "",
        "y": [index - 0.27 for index in range(count)],
        "base": [scale.low] * count,
        "x": [scale.high - scale.low] * count,
        "width": 1.0,
        "marker": {"color": "rgba(0,0,0,0)", "line": {"width": 0}},
        "customdata": [row.name[0] for row in chart.rows],
        "hovertext": texts,
        "hovertemplate": "%{hovertext}<extra></extra>",
        "showlegend": False,
    }


def _dots(chart: Bars, palette: Palette) -> Iterator[Data]:
    marked = [(index, row) for index, row in enumerate(chart.rows) if row.dot is not None]
    if marked:
        yield {
            "type": "scatter",
            "mode": "markers",
            "x": [row.dot for _, row in marked],
            "y": [index for index, _ in marked],
            "marker": {"color": palette.kept, "size": 10, "line": {"color": palette.paper, "width": 1.5}},
            "hoverinfo": "skip",
            "customdata": [row.name[0] for _, row in marked],
            "showlegend": False,
        }
    banded = [(index, row.name[0], row.band[1]) for index, row in enumerate(chart.rows) if row.band]
    if banded:
        yield {
            "type": "scatter",
            "mode": "markers",
            "x": [median for _, _, median in banded],
            "y": [index + BAND_AT for index, _, _ in banded],
            "marker": {"symbol": "diamond", "color": palette.ink, "size": 8},
            "hoverinfo": "skip",
            "customdata": [key for _, key, _ in banded],
            "showlegend": False,
        }


def _label(index: int, row: Row, palette: Palette) -> Data:
    key, name = row.name
    label = f"<b>{in_chart(key)}</b>" + (f"  {in_chart(shortened(name))}" if name else "")
    quiet = f"<span style='font-size:13px;color:{palette.quiet}'>{in_chart(row.figures)}</span>"
    return above(index, f"{label}<br>{quiet}")


def _marks(index: int, row: Row, palette: Palette) -> Iterator[Data]:
    """Target tick, range while questions are open, band of the uncertainty, and outline of the earlier state."""
    if row.tick is not None:
        tick = {"color": palette.ink, "width": 4}
        yield {"type": "line", "x0": row.tick, "x1": row.tick, "y0": index - 0.22, "y1": index + 0.24, "line": tick}
    if row.whisker:
        low, high = row.whisker
        thin = {"color": palette.ink, "width": 1.5}
        yield {"type": "line", "x0": low, "x1": high, "y0": index + RANGE_AT, "y1": index + RANGE_AT, "line": thin}
        for end in (low, high):
            yield {
                "type": "line",
                "x0": end,
                "x1": end,
                "y0": index + RANGE_AT - 0.03,
                "y1": index + RANGE_AT + 0.03,
                "line": thin,
            }
    if row.band:
        low, _, high = row.band
        thin = {"color": palette.ink, "width": 1.5}
        yield {"type": "line", "x0": low, "x1": high, "y0": index + BAND_AT, "y1": index + BAND_AT, "line": thin}
    if row.ghost:
        dotted = {"color": palette.ink, "width": 1.5, "dash": "dot"}
        left, right = sorted(row.ghost)
        yield {"type": "rect", "x0": left, "x1": right, "y0": index - 0.17, "y1": index + 0.17, "line": dotted}


def curve_chart(chart: Curve, palette: Palette) -> go.Figure:
    """Lines over a scale with the target and the marked points."""
    layout = frame(palette, height=380, margin=(60, 12, 60, 46))
    layout["xaxis"] |= axis(chart.x_scale, palette)
    layout["yaxis"] |= axis(chart.y_scale, palette)
    layout |= _target(chart.limit, palette)
    layout["showlegend"] = True
    lines = [
        {
            **_line(line, chart.places, palette),
            "hovertemplate": "beta %{x:.2g} %: %{y:.2s}<extra>" + line.name + "</extra>",
        }
        for line in chart.lines
    ]
    spots = [
        {
            "type": "scatter",
            "mode": "markers",
            "name": spot.name,
            "x": [spot.x],
            "y": [spot.y],
            "marker": {
                "symbol": "diamond" if spot.square else "circle",
                "size": 14,
                "color": palette.of(spot.colour),
                "line": {"color": palette.paper, "width": 1.5},
            },
            "hovertemplate": f"{spot.label}<extra></extra>",
        }
        for spot in chart.marked_points
    ]
    return figure([*lines, *spots], layout)


def _target(limit: float, palette: Palette) -> Data:
    """The target as a line across a logarithmic scale, with its name."""
    across = {"type": "line", "xref": "paper", "x0": 0, "x1": 1, "y0": limit, "y1": limit}
    corner = {"x": 0.01, "xref": "paper", "xanchor": "left", "yanchor": "bottom", "showarrow": False}
    return {
        "shapes": [{**across, "line": {"color": palette.ink, "width": 4}}],
        "annotations": [{**corner, "y": log10(limit), "text": "target"}],
    }


def time_chart(chart: OverTime, palette: Palette) -> go.Figure:
    """Lines over the years of a mission, with a mark at the foot for each test."""
    layout = frame(palette, height=360, margin=(72, 12, 60, 46))
    layout["xaxis"] |= {"title": {"text": "years of the mission", "font": {"size": 13, "color": palette.quiet}}}
    layout["yaxis"] |= axis(chart.y_scale, palette)
    layout |= _target(chart.limit, palette)
    layout["showlegend"] = True
    lines = [
        {**_line(line, chart.years, palette), "hovertemplate": "%{x:.2f} years: %{y:.2e}<extra></extra>"}
        for line in chart.lines
    ]
    tests = {
        "type": "scatter",
        "mode": "markers",
        "name": "tests",
        "x": [year for year, _ in chart.tests],
        "y": [chart.y_scale.low * 1.05] * len(chart.tests),
        "text": [in_chart(words) for _, words in chart.tests],
        "marker": {"symbol": "triangle-up", "size": 8, "color": palette.ink},
        "hovertemplate": "%{x:.2f} years, %{text}<extra></extra>",
    }
    return figure([*lines, tests], layout)


def trend_chart(chart: Trend, palette: Palette) -> go.Figure:
    """Lines over categories, with a mark at each value."""
    layout = frame(palette, height=360, margin=(84, 12, 60, 60))
    layout["showlegend"] = True
    layout["yaxis"] |= axis(chart.y_scale, palette)
    stops = [in_chart(words).replace(", ", "<br>") for _, words in chart.categories]
    layout["xaxis"] |= {"type": "category", "categoryarray": stops, "automargin": True, "tickfont": {"size": 12}}
    return figure([_line(line, stops, palette) for line in chart.lines], layout)


def _line(line: Line, places: Sequence[float | str], palette: Palette) -> Data:
    look: Data = {"color": palette.of(line.colour), "width": 4 if line.heavy else 1.8, "dash": _dash(line.dash)}
    trace = {
        "type": "scatter",
        "mode": "lines+markers" if line.mark else "lines",
        "name": in_chart(line.name),
        "x": list(places),
        "y": list(line.values),
        "line": look,
    }
    return {**trace, "marker": {"symbol": _symbol(line.mark), "size": 9}} if line.mark else trace


def _dash(lengths: Dash) -> str:
    """CSS dash pattern: the lengths on paper, doubled, in px."""
    return ",".join(f"{2.0 * length:g}px" for length in lengths) or "solid"


def _symbol(mark: Mark) -> str:
    return f"{mark.form}-open" if mark.hollow else mark.form
