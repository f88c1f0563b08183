"""Charts of what changed: the steps of one function, and figures over the revisions."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import plotly.graph_objects as go

from checks.figures import factor, measure, measure_name
from checks.record.comparison import FunctionChange, Point
from checks.record.steps import Step
from pages.shared.charts import DASHES, Data, above, bars, figure, fill, frame, log_axis, rows_axis
from pages.shared.palette import SLANT, SOLID, Palette
from pages.shared.wording import in_chart, shortened

MOST_STEPS = 14
SYMBOLS = ("circle", "square", "diamond", "triangle-up", "cross", "x", "star", "hexagon")


def steps(change: FunctionChange, palette: Palette, told: Callable[[Step], str]) -> go.Figure:
    """Each step as a bar from the result before it to that after it; the smallest steps stand together as the last."""
    demand = change.new.demand if change.new else "low"
    shown = list(change.steps)
    names = [told(one) for one in shown]
    if len(shown) > MOST_STEPS:
        shown, names = _largest(change.steps, told)
    spans = [(_axis(demand, one.before), _axis(demand, one.after)) for one in shown]
    flat = [end for span in spans for end in span]
    layout = frame(palette, height=60 + 46 * len(shown))
    layout["xaxis"] = {**layout["xaxis"], **log_axis(min(flat), max(flat), measure_name(demand), palette)}
    layout["yaxis"] = {**layout["yaxis"], **rows_axis(len(shown))}
    traces: list[Data] = []
    for label, better, shape, colour in (
        ("Better", True, SOLID, palette.kept),
        ("Worse", False, SLANT, palette.cyber),
    ):
        rows = [at for at, one in enumerate(shown) if (one.gain > 1.0) == better]
        traces.append(bars(label, rows, [spans[at] for at in rows], fill(colour, shape, palette)))
    layout["annotations"] = [
        above(at, in_chart(f"{shortened(name, 90)}  × {factor(one.gain)}, {measure(demand, one.after)}"))
        for at, (one, name) in enumerate(zip(shown, names, strict=True))
    ]
    return figure(traces, layout)


def _largest(every: Sequence[Step], told: Callable[[Step], str]) -> tuple[list[Step], list[str]]:
    """The largest steps in their order, each from where the chain then stands; the others together at the end."""
    ranked = sorted(every, key=lambda one: max(one.gain, 1.0 / one.gain), reverse=True)[: MOST_STEPS - 1]
    kept, names, at = [], [], every[0].before
    for one in every:
        if one in ranked:
            kept.append(Step(one.facts, at, at / one.gain, one.gain_alone))
            names.append(told(one))
            at /= one.gain
    kept.append(Step((), at, every[-1].after, None))
    names.append(f"{len(every) - len(ranked)} smaller steps together")
    return kept, names


def _axis(demand: str, value: float) -> float:
    return 1.0 / value if demand == "low" else value


def trend(points: Sequence[Point], labels: Mapping[str, str], palette: Palette) -> go.Figure:
    """RRF of each low-demand function over the revisions, each with a dash and a symbol of its own."""
    held: dict[str, dict[str, float]] = {}
    for one in points:
        if one.measure == "RRF" and one.value is not None:
            held.setdefault(one.id, {})[one.label] = one.value
    values = [value for each in held.values() for value in each.values()] or [1.0, 10.0]
    layout = frame(palette, height=340, margin=(70, 12, 60, 46))
    layout["showlegend"] = True
    layout["yaxis"] = {**layout["yaxis"], **log_axis(min(values), max(values), "RRF, adjusted", palette)}
    layout["xaxis"] = {**layout["xaxis"], "type": "category", "categoryarray": list(labels.values())}
    colours = (palette.kept, palette.cyber, palette.shared, palette.ink)
    traces: list[Data] = [
        {
            "type": "scatter",
            "mode": "lines+markers",
            "name": in_chart(name),
            "x": [labels[label] for label in labels if label in each],
            "y": [each[label] for label in labels if label in each],
            "line": {
                "color": colours[at % len(colours)],
                "dash": ("solid", *DASHES)[at % (len(DASHES) + 1)],
                "width": 2,
            },
            "marker": {"symbol": SYMBOLS[at % len(SYMBOLS)], "size": 9},
        }
        for at, (name, each) in enumerate(held.items())
    ]
    return figure(traces, layout)
