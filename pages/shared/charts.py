"""Results to plotly figures. No Streamlit here, and nothing is computed that a result does not hold."""

from __future__ import annotations

from math import ceil, floor, log10
from typing import Any

import plotly.graph_objects as go
from numpy import interp

from checks.curves import Curves
from checks.figures import percent as percent_of
from checks.results import FunctionResult
from pages.shared.palette import FONT, SLANT, SOLID, Palette
from pages.shared.wording import in_chart

CONFIG = {"displaylogo": False, "displayModeBar": False, "scrollZoom": False, "toImageButtonOptions": {"format": "svg"}}
DASHES = ("dash", "dot", "dashdot", "longdash", "longdashdot")


def frame(palette: Palette, *, height: int, title: str = "") -> go.Figure:
    """An empty figure in our type and colours."""
    figure = go.Figure()
    figure.update_layout(
        height=height,
        margin={"l": 8, "r": 12, "t": 30 if title else 8, "b": 40},
        paper_bgcolor="rgba(0,0,0,0)",
        plot_bgcolor="rgba(0,0,0,0)",
        font={"family": FONT, "size": 14, "color": palette.ink},
        hoverlabel={"font": {"family": FONT}, "bgcolor": palette.paper},
        dragmode=False,
        legend={
            "orientation": "h",
            "y": 1.0,
            "yanchor": "bottom",
            "x": 0,
            "itemclick": False,
            "itemdoubleclick": False,
        },
        barmode="overlay",
    )
    figure.update_xaxes(gridcolor=palette.line, linecolor=palette.line, zeroline=False, fixedrange=True)
    figure.update_yaxes(gridcolor=palette.line, linecolor=palette.line, zeroline=False, fixedrange=True)
    return figure


def log_ticks(low: float, high: float) -> dict[str, list[Any]]:
    """Ticks of a logarithmic axis, written out: whole decades, and 2 and 5 between them where there are few."""
    between = (1, 2, 5) if high / low < 40.0 else (1,)
    decades = range(floor(log10(low)), ceil(log10(high)) + 1)
    values = [step * 10.0**one for one in decades for step in between]
    return {"tickvals": values, "ticktext": [f"{one:,.0f}" if one >= 1.0 else f"{one:g}" for one in values]}


def log_axis(figure: go.Figure, low: float, high: float, title: str, palette: Palette, *, axis: str = "x") -> None:
    """Logarithmic axis from ``low`` to ``high``."""
    look = {
        "type": "log",
        "range": [log10(low) - 0.08, log10(high) + 0.08],
        "title": {"text": title, "font": {"size": 13, "color": palette.quiet}},
        "showgrid": True,
        **log_ticks(low, high),
    }
    figure.update_layout({f"{axis}axis": look})


def pattern(shape: str, palette: Palette) -> dict[str, object]:
    """Hatching of a fill: lines of the paper over the colour."""
    return {
        "shape": shape,
        "fillmode": "overlay",
        "fgcolor": palette.paper,
        "fgopacity": 1.0,
        "solidity": 0.3,
        "size": 7,
    }


def curves(drawn: Curves, palette: Palette, *, demand: str, target: float) -> go.Figure:
    """Goodness against beta: the function as built as a heavy line, other votings as thin dashed ones."""
    figure = frame(palette, height=380)
    dashes = iter(DASHES)
    percent = drawn.beta_int * 100.0
    for one in drawn.curves:
        look = {"color": palette.kept, "width": 4} if one.as_built else {"color": palette.quiet, "width": 1.8}
        name = f"{one.voting} as built" if one.as_built else f"{one.voting} instead"
        line = look if one.as_built else {**look, "dash": next(dashes)}
        figure.add_scatter(
            x=percent,
            y=1.0 / one.result,
            mode="lines",
            name=name,
            line=line,
            hovertemplate="beta %{x:.2g} %: %{y:.2s}<extra>" + name + "</extra>",
        )
    built = next(one for one in drawn.curves if one.as_built)
    for stated, name, symbol, colour in (
        (drawn.scored_beta_int, "as scored", "circle", palette.shared),
        (drawn.adjusted_beta_int, "as adjusted", "diamond", palette.cyber),
    ):
        beta = max(stated, float(drawn.beta_int[0]))  # a beta below the axis stands at its edge
        at = 10 ** _between(
            log10(beta), [log10(one) for one in drawn.beta_int], [log10(1 / one) for one in built.result]
        )
        figure.add_scatter(
            x=[beta * 100.0],
            y=[at],
            mode="markers",
            name=name,
            hovertemplate=name + ": beta %{x:.2g} %<extra></extra>",
            marker={"symbol": symbol, "size": 14, "color": colour, "line": {"color": palette.ink, "width": 1.5}},
        )
    figure.add_hline(y=target, line={"color": palette.ink, "width": 4})
    figure.add_annotation(
        x=0.01, xref="paper", y=log10(target), yanchor="bottom", xanchor="left", showarrow=False, text="target"
    )
    log_axis(figure, percent[0], percent[-1], "beta of a 1oo2 group of these devices (beta_int), per cent", palette)
    words = "risk reduction factor" if demand == "low" else "hours to a dangerous failure, 1/PFH"
    heights = [float(one) for curve in drawn.curves for one in (curve.result.min(), curve.result.max())]
    low, high = min(1.0 / max(heights), target), max(1.0 / min(heights), target)
    log_axis(figure, low, high, words, palette, axis="y")
    figure.update_layout(margin={"l": 60, "r": 12, "t": 60, "b": 46})
    return figure


def _between(x: float, xs: list[float], ys: list[float]) -> float:
    """Height of a drawn line at x, so that a mark sits on its curve."""
    return float(interp(x, xs, ys))


def shares(function: FunctionResult, names: dict[str, str], palette: Palette) -> go.Figure:
    """Part of the total that each group carries, split into coinciding single failures and shared causes."""
    rows = sorted(function.groups, key=lambda one: function.group_cases(one).adjusted, reverse=True)
    figure = frame(palette, height=len(rows) * 58 + 90)
    total = function.cases.adjusted
    parts = [function.group_parts(one) for one in rows]
    base = [float(part.independent) / total * 100.0 for part in parts]
    looks = (
        ("failures of single channels", base, [0.0] * len(rows), palette.quiet, SOLID),
        ("shared by all channels", [float(part.shared) / total * 100.0 for part in parts], base, palette.shared, SLANT),
    )
    for name, lengths, start, colour, shape in looks:
        figure.add_bar(
            y=list(range(len(rows))),
            x=lengths,
            base=start,
            orientation="h",
            name=name,
            width=0.36,
            hovertemplate="%{x:.2g} %<extra>" + name + "</extra>",
            marker={
                "color": colour,
                "line": {"color": colour, "width": 1},
                "pattern": pattern(shape, palette),
            },
        )
    for row, one in enumerate(rows):
        part = percent_of(function.share[one.id])
        text = f"<b>{in_chart(one.id)}</b>  {one.voting}  {in_chart(names[one.id])}: {part}"
        figure.add_annotation(
            x=0, xref="paper", xanchor="left", y=row - 0.2, yanchor="bottom", showarrow=False, align="left", text=text
        )
    figure.update_xaxes(range=[0, 100], ticksuffix=" %")
    figure.update_yaxes(range=[len(rows) - 0.6, -0.9], showticklabels=False, showgrid=False)
    figure.update_layout(margin={"l": 8, "r": 12, "t": 34, "b": 34})
    return figure
