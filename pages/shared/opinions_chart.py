"""The result of a function with the cyber scenario by each exposure rule, on one axis."""

from __future__ import annotations

from collections.abc import Mapping

import plotly.graph_objects as go

from checks.figures import measure
from checks.results import FunctionResult
from pages.shared.charts import above, figure, frame, log_axis, rows_axis
from pages.shared.palette import Palette
from pages.shared.wording import in_chart

ROW = 46


def opinions(function: FunctionResult, by_rule: Mapping[str, float], palette: Palette) -> go.Figure:
    """One row with common cause, then one for each rule: goodness (RRF, or 1/PFH) as a dot, the target as a line."""
    results = {"with common cause": function.cases.scored, **by_rule}
    goodness, target = [1.0 / result for result in results.values()], 1.0 / function.limit
    layout = frame(palette, height=len(results) * ROW + 56)
    title = "risk reduction factor" if function.demand == "low" else "1/PFH in hours"
    layout["xaxis"] |= log_axis(min(*goodness, target), max(*goodness, target), title, palette)
    layout["yaxis"] |= rows_axis(len(results))
    layout["annotations"] = [
        above(row, f"{in_chart(label)}: <b>{measure(function.demand, result)}</b>")
        for row, (label, result) in enumerate(results.items())
    ]
    line = {"type": "line", "yref": "paper", "y0": 0, "y1": 1, "x0": target, "x1": target}
    layout["shapes"] = [{**line, "line": {"color": palette.ink, "width": 4}}]
    colours = [palette.kept, *(palette.cyber for _ in by_rule)]
    symbols = ["circle", *("diamond" for _ in by_rule)]
    dots = {
        "type": "scatter",
        "mode": "markers",
        "x": goodness,
        "y": list(range(len(goodness))),
        "marker": {"color": colours, "symbol": symbols, "size": 12, "line": {"color": palette.ink, "width": 1}},
        "hovertemplate": "%{x:.2s}<extra></extra>",
    }
    return figure([dots], layout)
