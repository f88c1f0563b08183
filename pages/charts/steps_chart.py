"""Chart of what changed: the steps of one function."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import plotly.graph_objects as go

from checks.comparison.comparison import FunctionChange
from checks.comparison.steps import Step
from checks.text.number_format import factor, measure, measure_name
from pages.charts.chart_data import Fill, spanning
from pages.charts.plotly_figures import Data, above, axis, bars, figure, frame, rows_axis
from pages.presentation.palette import SLANT, SOLID, Palette
from pages.presentation.wording import in_chart, shortened

MOST_STEPS = 14
BETTER, WORSE = Fill("Better", "kept", SOLID), Fill("Worse", "cyber", SLANT)


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
    layout["xaxis"] |= axis(spanning(flat, measure_name(demand)), palette)
    layout["yaxis"] |= rows_axis(len(shown))
    traces: list[Data] = []
    for kind in (BETTER, WORSE):
        rows = [at for at, one in enumerate(shown) if (one.gain > 1.0) == (kind is BETTER)]
        traces.append(bars(kind, rows, [spans[at] for at in rows], palette))
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
