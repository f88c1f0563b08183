"""Results to rails: the picture that carries the product.

One function is one rail on a logarithmic axis, on which equal lengths are equal factors: solid is what is left of
the redundancy, cross-hatched what cyber exposure takes, slanted what shared causes take, the tick is the target.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import plotly.graph_objects as go

from checks.results import FunctionResult
from pages.shared.charts import frame, log_axis, pattern
from pages.shared.palette import CROSS, SLANT, SOLID, Palette
from pages.shared.wording import in_chart, rail_figures, shortened

ROW = 66
KEPT, CYBER, SHARED = "kept", "lost to cyber exposure", "lost to shared causes"


def legend(palette: Palette) -> str:
    """What the pieces of a rail mean, as HTML that wraps on a narrow screen."""
    cross = f"repeating-linear-gradient(45deg,transparent 0 3px,{palette.paper} 3px 4px)"
    slant = f"repeating-linear-gradient(-45deg,transparent 0 3px,{palette.paper} 3px 5px)"
    other = f"repeating-linear-gradient(-45deg,transparent 0 3px,{palette.paper} 3px 4px)"
    box = "display:inline-block;width:22px;height:11px;margin-right:6px"
    pieces = (
        (f"{box};background:{palette.kept}", KEPT),
        (f"{box};background:{cross},{other},{palette.cyber}", CYBER),
        (f"{box};background:{slant},{palette.shared}", SHARED),
        (f"{box};width:10px;border-radius:5px;height:10px;background:{palette.kept}", "one channel alone"),
        (f"{box};width:4px;height:16px;vertical-align:-3px;background:{palette.ink}", "target"),
        (f"{box};height:2px;vertical-align:4px;background:{palette.ink}", "range while questions are open"),
    )
    spans = [f'<span style="white-space:nowrap"><span style="{look}"></span>{words}</span>' for look, words in pieces]
    return f'<div style="display:flex;flex-wrap:wrap;gap:2px 18px;font-size:0.875rem">{"".join(spans)}</div>'


@dataclass(frozen=True, slots=True)
class Rail:
    """One rail: goodness (RRF, or 1/PFH) of the four cases, the target and the band; label and figures above it."""

    key: str
    label: str
    figures: str
    single: float
    adjusted: float
    scored: float
    ideal: float
    target: float
    low: float
    high: float
    before: float | None = None


def rail(function: FunctionResult, name: str, *, before: FunctionResult | None = None) -> Rail:
    """Rail of a function. Goodness is 1/PFDavg in low and 1/PFH in high demand, so that longer is better."""
    cases = function.cases
    return Rail(
        key=function.id,
        label=f"<b>{in_chart(function.id)}</b>  {in_chart(shortened(name))}",
        figures=rail_figures(function),
        single=1.0 / cases.single,
        adjusted=1.0 / cases.adjusted,
        scored=1.0 / cases.scored,
        ideal=1.0 / cases.ideal,
        target=1.0 / function.limit,
        low=1.0 / function.pessimistic,
        high=1.0 / function.optimistic,
        before=None if before is None else 1.0 / before.cases.adjusted,
    )


def _piece(figure: go.Figure, rails: Sequence[Rail], name: str, ends: list[tuple[float, float]], look: Any) -> None:
    """One kind of piece of every rail, from base to end, with its fill."""
    colour, shape, palette = look
    figure.add_bar(
        y=list(range(len(rails))),
        base=[min(pair) for pair in ends],
        x=[abs(pair[1] - pair[0]) for pair in ends],
        orientation="h",
        width=0.34,
        name=name,
        customdata=[one.key for one in rails],
        marker={
            "color": colour,
            "line": {"color": colour, "width": 1},
            "pattern": pattern(shape, palette),
        },
        hovertemplate="%{customdata}<extra>" + name + "</extra>",
    )


def rails(shown: Sequence[Rail], palette: Palette, *, axis: str) -> go.Figure:
    """Rails below each other, first on top."""
    figure = frame(palette, height=len(shown) * ROW + 50)
    # A group that voting makes worse than one channel keeps nothing: its solid piece has no length.
    kept = [(one.single, max(one.single, one.adjusted)) for one in shown]
    _piece(figure, shown, KEPT, kept, (palette.kept, SOLID, palette))
    _piece(figure, shown, CYBER, [(one.adjusted, one.scored) for one in shown], (palette.cyber, CROSS, palette))
    _piece(figure, shown, SHARED, [(one.scored, one.ideal) for one in shown], (palette.shared, SLANT, palette))
    figure.add_scatter(
        x=[one.single for one in shown],
        y=list(range(len(shown))),
        mode="markers",
        name="one channel",
        marker={"color": palette.kept, "size": 10, "line": {"color": palette.paper, "width": 1.5}},
        customdata=[one.key for one in shown],
        hovertemplate="one channel alone: %{x:.2s}<extra></extra>",
    )
    figure.update_layout(
        margin={"l": 8, "r": 12, "t": 4, "b": 42},
        showlegend=False,
        annotations=[_label(row, one, palette) for row, one in enumerate(shown)],
        shapes=[shape for row, one in enumerate(shown) for shape in _marks(row, one, palette)],
    )
    low = min(min(one.single, one.target, one.low, one.adjusted) for one in shown)
    high = max(max(one.ideal, one.target, one.single) for one in shown)
    log_axis(figure, low, high, axis, palette)
    figure.update_yaxes(range=[len(shown) - 0.6, -0.95], showticklabels=False, showgrid=False)
    return figure


def _label(row: int, one: Rail, palette: Palette) -> dict[str, Any]:
    text = f"{one.label}<br><span style='font-size:13px;color:{palette.quiet}'>{in_chart(one.figures)}</span>"
    left = {"x": 0, "xref": "paper", "xanchor": "left", "align": "left", "showarrow": False}
    return {**left, "y": row - 0.23, "yanchor": "bottom", "text": text}


def _marks(row: int, one: Rail, palette: Palette) -> Iterator[dict[str, Any]]:
    """Target tick, whisker of the range while questions are open, and the ghost of the state before."""
    tick = {"color": palette.ink, "width": 4}
    yield {"type": "line", "x0": one.target, "x1": one.target, "y0": row - 0.22, "y1": row + 0.24, "line": tick}
    if one.high > one.low * 1.001:
        thin = {"color": palette.ink, "width": 1.5}
        yield {"type": "line", "x0": one.low, "x1": one.high, "y0": row + 0.24, "y1": row + 0.24, "line": thin}
    if one.before is not None and abs(one.before / one.adjusted - 1.0) > 1e-9:
        ends = {"x0": min(one.single, one.before), "x1": max(one.single, one.before)}
        dotted = {"color": palette.ink, "width": 1.5, "dash": "dot"}
        yield {"type": "rect", **ends, "y0": row - 0.17, "y1": row + 0.17, "line": dotted}


def steps(one: Rail, palette: Palette, *, axis: str, values: Sequence[tuple[str, str]]) -> go.Figure:
    """The four cases as steps: one channel, what is left, with shared causes only, with nothing shared.

    ``values`` are (case in words, figure) from top to bottom.
    """
    figure = frame(palette, height=300)
    figure.update_layout(margin={"l": 8, "r": 12, "t": 8, "b": 42}, showlegend=False)
    pieces = [
        (1, KEPT, (one.single, one.adjusted), (palette.kept, SOLID)),
        (2, CYBER, (one.adjusted, one.scored), (palette.cyber, CROSS)),
        (3, SHARED, (one.scored, one.ideal), (palette.shared, SLANT)),
    ]
    for row, name, (start, end), (colour, shape) in pieces:
        figure.add_bar(
            y=[row],
            base=[min(start, end)],
            x=[abs(end - start)],
            orientation="h",
            width=0.36,
            name=name,
            hovertemplate=f"{name}<extra></extra>",
            marker={
                "color": colour,
                "line": {"color": colour, "width": 1},
                "pattern": pattern(shape, palette),
            },
        )
    ends = (one.single, one.adjusted, one.scored, one.ideal)
    figure.add_scatter(
        x=list(ends),
        y=[0, 1, 2, 3],
        mode="markers",
        hovertemplate="%{x:.2s}<extra></extra>",
        marker={"color": palette.ink, "size": 9},
    )
    for row, (words, value) in enumerate(values):
        figure.add_annotation(
            x=0,
            xref="paper",
            xanchor="left",
            y=row - 0.2,
            yanchor="bottom",
            align="left",
            showarrow=False,
            text=f"{words}: <b>{value}</b>",
        )
    figure.add_vline(x=one.target, line={"color": palette.ink, "width": 4})
    log_axis(figure, min(*ends, one.target), max(*ends, one.target), axis, palette)
    figure.update_yaxes(range=[3.5, -0.85], showticklabels=False, showgrid=False)
    return figure
