"""Results to plotly figures. No Streamlit here, and nothing is computed that a result does not hold.

A figure is put together as plain data and made into a plotly figure once: checking every property as it is set would
cost ten times the rest of an answer's way to the screen. A test checks the finished figures instead.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor, log10
from typing import Any

import plotly.graph_objects as go
from numpy import interp

from checks.curves import Curves
from checks.figures import percent
from checks.results import FunctionResult
from pages.shared.palette import FONT, SLANT, SOLID, Palette
from pages.shared.wording import in_chart

CONFIG = {"displaylogo": False, "displayModeBar": False, "scrollZoom": False, "toImageButtonOptions": {"format": "svg"}}
DASHES = ("dash", "dot", "dashdot", "longdash", "longdashdot")
Data = dict[str, Any]


def figure(traces: list[Data], layout: Data) -> go.Figure:
    """A finished figure."""
    return go.Figure(data=traces, layout=layout, _validate=False)


def frame(palette: Palette, *, height: int, margin: tuple[int, int, int, int] = (8, 12, 8, 42)) -> Data:
    """Layout in our type and colours; ``margin`` is left, right, top, bottom."""
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


def log_axis(low: float, high: float, title: str, palette: Palette) -> Data:
    """Logarithmic axis from ``low`` to ``high``: whole decades written out, 2 and 5 between them where there are few."""
    between = (1, 2, 5) if high / low < 40.0 else (1,)
    decades = range(floor(log10(low)), ceil(log10(high)) + 1)
    ticks = [step * 10.0**one for one in decades for step in between]
    return {
        "type": "log",
        "range": [log10(low) - 0.08, log10(high) + 0.08],
        "title": {"text": title, "font": {"size": 13, "color": palette.quiet}},
        "showgrid": True,
        "tickvals": ticks,
        "ticktext": [f"{one:,.0f}" if one >= 1.0 else f"{one:g}" for one in ticks],
    }


def rows_axis(count: int) -> Data:
    """Axis of ``count`` rows, the first on top, with room for what stands above it."""
    return {"range": [count - 0.55, -0.92], "showticklabels": False, "showgrid": False}


def fill(colour: str, shape: str, palette: Palette) -> Data:
    """Marker of a bar: its colour, hatched with lines of the paper."""
    hatching = {"shape": shape, "fillmode": "overlay", "fgcolor": palette.paper, "fgopacity": 1.0}
    line = {"color": colour, "width": 1}
    return {"color": colour, "line": line, "pattern": {**hatching, "solidity": 0.3, "size": 7}}


def bars(name: str, rows: Sequence[int], spans: Sequence[tuple[float, float]], marker: Data, **more: Any) -> Data:
    """Horizontal bars, one a row, each from the first to the second end of its span."""
    return {
        "type": "bar",
        "orientation": "h",
        "name": name,
        "y": list(rows),
        "base": [min(span) for span in spans],
        "x": [abs(span[1] - span[0]) for span in spans],
        "width": 0.35,
        "marker": marker,
        "hovertemplate": f"{name}<extra></extra>",
        **more,
    }


def above(row: int, text: str, gap: float = 0.22) -> Data:
    """A label above the bar of a row, from the left edge."""
    left = {"x": 0, "xref": "paper", "xanchor": "left", "align": "left", "showarrow": False}
    return {**left, "y": row - gap, "yanchor": "bottom", "text": text}


def curves(drawn: Curves, palette: Palette, *, demand: str, target: float) -> go.Figure:
    """Goodness against beta: the function as built as a heavy line, other votings as thin dashed ones."""
    layout = frame(palette, height=380, margin=(60, 12, 60, 46))
    low, high = float(drawn.beta_int[0]) * 100.0, float(drawn.beta_int[-1]) * 100.0
    layout["xaxis"] |= log_axis(low, high, "beta of a 1oo2 group of these devices (beta_int), per cent", palette)
    heights = [1.0 / float(one) for curve in drawn.curves for one in (curve.result.min(), curve.result.max())]
    words = "risk reduction factor" if demand == "low" else "hours to a dangerous failure, 1/PFH"
    layout["yaxis"] |= log_axis(min(*heights, target), max(*heights, target), words, palette)
    across = {"type": "line", "xref": "paper", "x0": 0, "x1": 1, "y0": target, "y1": target}
    layout["shapes"] = [{**across, "line": {"color": palette.ink, "width": 4}}]
    corner = {"x": 0.01, "xref": "paper", "xanchor": "left", "yanchor": "bottom", "showarrow": False}
    layout["annotations"] = [{**corner, "y": log10(target), "text": "target"}]
    layout["showlegend"] = True
    return figure([*_lines(drawn, palette), *_stands(drawn, palette)], layout)


def _lines(drawn: Curves, palette: Palette) -> list[Data]:
    found, dashes = [], iter(DASHES)
    for one in drawn.curves:
        heavy, thin = {"color": palette.kept, "width": 4}, {"color": palette.quiet, "width": 1.8}
        name = f"{one.voting} as built" if one.as_built else f"{one.voting} instead"
        found.append(
            {
                "type": "scatter",
                "mode": "lines",
                "name": name,
                "x": (drawn.beta_int * 100.0).tolist(),
                "y": (1.0 / one.result).tolist(),
                "line": heavy if one.as_built else {**thin, "dash": next(dashes)},
                "hovertemplate": "beta %{x:.2g} %: %{y:.2s}<extra>" + name + "</extra>",
            }
        )
    return found


def _stands(drawn: Curves, palette: Palette) -> list[Data]:
    """Where the group stands on the curve as built, as scored and as adjusted."""
    built = next(one for one in drawn.curves if one.as_built)
    xs, ys = [log10(one) for one in drawn.beta_int], [-log10(one) for one in built.result]
    found = []
    for stated, name, symbol, colour in (
        (drawn.scored_beta_int, "as scored", "circle", palette.shared),
        (drawn.adjusted_beta_int, "as adjusted", "diamond", palette.cyber),
    ):
        beta = max(stated, float(drawn.beta_int[0]))  # a beta below the axis stands at its edge
        found.append(
            {
                "type": "scatter",
                "mode": "markers",
                "name": name,
                "x": [beta * 100.0],
                "y": [10.0 ** float(interp(log10(beta), xs, ys))],
                "marker": {"symbol": symbol, "size": 14, "color": colour, "line": {"color": palette.ink, "width": 1.5}},
                "hovertemplate": f"{name}: beta {percent(stated)}<extra></extra>",
            }
        )
    return found


def shares(function: FunctionResult, names: dict[str, str], palette: Palette) -> go.Figure:
    """Part of the result with common cause that each group contributes, split into independent failures and common cause."""
    groups = sorted(function.groups, key=lambda one: function.group_cases(one).scored, reverse=True)
    rows, total, share = range(len(groups)), function.cases.scored, function.share_of("scored")
    parts = [split for one in groups if (split := function.measured(one).scored) is not None]
    alone = [float(part.independent) / total * 100.0 for part in parts]
    ends = [(start, start + float(part.shared) / total * 100.0) for start, part in zip(alone, parts, strict=True)]
    layout = frame(palette, height=len(groups) * 58 + 90, margin=(8, 12, 34, 34))
    layout["xaxis"] |= {"range": [0, 100], "ticksuffix": " %"}
    layout["yaxis"] |= rows_axis(len(groups))
    layout["showlegend"] = True
    layout["annotations"] = [
        above(
            row,
            f"<b>{in_chart(one.id)}</b>  {one.voting}  {in_chart(names[one.id])}: {percent(share[one.id])}",
        )
        for row, one in enumerate(groups)
    ]
    spans = [(0.0, one) for one in alone]
    return figure(
        [
            bars("independent failures", rows, spans, fill(palette.quiet, SOLID, palette)),
            bars("common cause", rows, ends, fill(palette.shared, SLANT, palette)),
        ],
        layout,
    )
