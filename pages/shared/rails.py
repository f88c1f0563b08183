"""Results to rails: the picture that carries the product.

One function is one rail on a logarithmic axis, on which equal lengths are equal factors: solid is what is left of
the redundancy, cross-hatched what cyber exposure takes, slanted what shared causes take, the tick is the target.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from checks.results import FunctionResult
from pages.shared.charts import Data, above, bars, figure, fill, frame, log_axis, rows_axis
from pages.shared.palette import CROSS, SLANT, SOLID, Palette
from pages.shared.wording import in_chart, rail_figures, shortened

ROW = 66
KEPT, CYBER, SHARED = "left", "lost to the cyber scenario", "lost to common cause"


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
        (
            f"{box};height:2px;vertical-align:4px;background:{palette.ink}",
            "range with common cause while questions are open",
        ),
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
    cases, band = function.cases, function.band
    return Rail(
        key=function.id,
        label=f"<b>{in_chart(function.id)}</b>  {in_chart(shortened(name))}",
        figures=rail_figures(function),
        single=1.0 / cases.single,
        adjusted=1.0 / cases.adjusted,
        scored=1.0 / cases.scored,
        ideal=1.0 / cases.ideal,
        target=1.0 / function.limit,
        low=1.0 / (band.pessimistic if band else cases.scored),
        high=1.0 / (band.optimistic if band else cases.scored),
        before=None if before is None else 1.0 / before.cases.adjusted,
    )


def rails(shown: Sequence[Rail], palette: Palette, *, axis: str) -> go.Figure:
    """Rails below each other, first on top."""
    rows, keys = range(len(shown)), [one.key for one in shown]
    layout = frame(palette, height=len(shown) * ROW + 50, margin=(8, 12, 4, 42))
    low = min(min(one.single, one.target, one.low, one.adjusted) for one in shown)
    high = max(max(one.ideal, one.target, one.single) for one in shown)
    layout["xaxis"] |= log_axis(low, high, axis, palette)
    layout["yaxis"] |= rows_axis(len(shown))
    layout["annotations"] = [_label(row, one, palette) for row, one in enumerate(shown)]
    layout["shapes"] = [shape for row, one in enumerate(shown) for shape in _marks(row, one, palette)]
    pieces = [bars(name, rows, spans, marker, customdata=keys) for name, spans, marker in _pieces(shown, palette)]
    return figure(
        [*pieces, {**_dots([one.single for one in shown], palette.kept, palette), "customdata": keys}], layout
    )


def _pieces(shown: Sequence[Rail], palette: Palette) -> list[tuple[str, list[tuple[float, float]], Data]]:
    """The three pieces of every rail: name, spans, fill."""
    # A function that voting makes worse than one channel keeps nothing: its solid piece has no length.
    return [
        (KEPT, [(one.single, max(one.single, one.adjusted)) for one in shown], fill(palette.kept, SOLID, palette)),
        (CYBER, [(one.adjusted, one.scored) for one in shown], fill(palette.cyber, CROSS, palette)),
        (SHARED, [(one.scored, one.ideal) for one in shown], fill(palette.shared, SLANT, palette)),
    ]


def _dots(values: Sequence[float], colour: str, palette: Palette) -> Data:
    return {
        "type": "scatter",
        "mode": "markers",
        "x": list(values),
        "y": list(range(len(values))),
        "marker": {"color": colour, "size": 10, "line": {"color": palette.paper, "width": 1.5}},
        "hovertemplate": "%{x:.2s}<extra></extra>",
    }


def _label(row: int, one: Rail, palette: Palette) -> Data:
    quiet = f"<span style='font-size:13px;color:{palette.quiet}'>{in_chart(one.figures)}</span>"
    return above(row, f"{one.label}<br>{quiet}")


def _marks(row: int, one: Rail, palette: Palette) -> Iterator[Data]:
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
    ends = (one.single, one.adjusted, one.scored, one.ideal)
    layout = frame(palette, height=300)
    layout["xaxis"] |= log_axis(min(*ends, one.target), max(*ends, one.target), axis, palette)
    layout["yaxis"] |= rows_axis(len(ends))
    layout["annotations"] = [above(row, f"{words}: <b>{value}</b>") for row, (words, value) in enumerate(values)]
    down = {"type": "line", "yref": "paper", "y0": 0, "y1": 1, "x0": one.target, "x1": one.target}
    layout["shapes"] = [{**down, "line": {"color": palette.ink, "width": 4}}]
    pieces = [
        bars(name, [row], span, marker) for row, (name, span, marker) in enumerate(_pieces([one], palette), start=1)
    ]
    return figure([*pieces, _dots(ends, palette.ink, palette)], layout)
