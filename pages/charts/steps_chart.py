"""Chart of changes: the steps of one function."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import plotly.graph_objects as go

from checks.comparison.comparison import FunctionChange
from checks.comparison.steps import Step
from checks.text.number_format import factor, measure
from pages.charts.chart_data import Fill, scale_around
from pages.charts.plotly_figures import Data, above, axis, bars, figure, frame, rows_axis
from pages.charts.rails import AXES
from pages.presentation.palette import SLANT, SOLID, Palette
from pages.presentation.wording import in_chart, shortened

MOST_STEPS = 14
BETTER, WORSE = Fill("Better", "kept", SOLID), Fill("Worse", "cyber", SLANT)


def steps(change: FunctionChange, palette: Palette, describe: Callable[[Step], str]) -> go.Figure:
    """Each step as a bar from the result before to the result after it, RRF or 1/PFH; the smallest are combined in the last."""
    demand = change.new.demand if change.new else "low"
    shown = list(change.steps)
    names = [describe(step) for step in shown]
    if len(shown) > MOST_STEPS:
        shown, names = _largest(change.steps, describe)
    spans = [(1.0 / step.before, 1.0 / step.after) for step in shown]
    flat = [end for span in spans for end in span]
    layout = frame(palette, height=74 + 46 * len(shown))
    layout["xaxis"] |= axis(scale_around(flat, AXES[demand]), palette)
    layout["yaxis"] |= rows_axis(len(shown))
    traces: list[Data] = []
    for kind in (BETTER, WORSE):
        rows = [index for index, step in enumerate(shown) if (step.gain > 1.0) == (kind is BETTER)]
        hover = [f"{in_chart(names[row])}: {_figures(shown[row], demand)}" for row in rows]
        look = {"hovertext": hover, "hovertemplate": "%{hovertext}<extra></extra>"}
        traces.append(bars(kind, rows, [spans[row] for row in rows], palette, **look))
    layout["annotations"] = [
        above(index, in_chart(f"{shortened(name, 90)}  × {factor(step.gain)}, {measure(demand, step.after)}"))
        for index, (step, name) in enumerate(zip(shown, names, strict=True))
    ]
    return figure(traces, layout)


def _largest(steps_in_order: Sequence[Step], describe: Callable[[Step], str]) -> tuple[list[Step], list[str]]:
    """The largest steps in order, each from the result of the step before; the others combined at the end."""
    ranked = sorted(steps_in_order, key=lambda step: max(step.gain, 1.0 / step.gain), reverse=True)[: MOST_STEPS - 1]
    kept, names, result = [], [], steps_in_order[0].before
    for step in steps_in_order:
        if step in ranked:
            kept.append(Step(step.facts, result, result / step.gain, step.gain_alone))
            names.append(describe(step))
            result /= step.gain
    kept.append(Step((), result, steps_in_order[-1].after, None))
    names.append(f"{len(steps_in_order) - len(ranked)} smaller steps combined")
    return kept, names


def _figures(step: Step, demand: str) -> str:
    """The figures of a step: result before and after, and the factor between them."""
    return f"{measure(demand, step.before)} → {measure(demand, step.after)}, × {factor(step.gain)}"
