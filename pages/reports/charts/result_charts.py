"""Results as charts on paper: what the screens show too, described in ``pages.charts``, drawn here.

The charts are drawn with lines and text of the page itself, so they stay sharp, can be searched, and take names in any
script.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from checks.assessment.beta_curves import Curves
from checks.assessment.results import FunctionResult
from checks.comparison.comparison import Point
from pages.charts import line_charts
from pages.charts import rails as described
from pages.reports.charts.bar_rows import BarRows
from pages.reports.charts.curve_chart import CurveChart
from pages.reports.charts.trend_chart import TrendChart
from pages.reports.layout.blocks import Block


def rails(
    functions: Sequence[FunctionResult],
    names: Mapping[str, str],
    *,
    before: Mapping[str, FunctionResult] | None = None,
) -> list[Block]:
    """One rail a function, the worst margin on top; low and high demand stand on scales of their own."""
    charts: list[Block] = []
    for demand in described.AXES:
        shown = sorted(
            (function for function in functions if function.demand == demand), key=lambda function: function.order
        )
        if shown:
            charts.append(BarRows(described.rails(shown, names, before=before)))
    return charts


def shares(function: FunctionResult, names: Mapping[str, str]) -> list[Block]:
    """Part of the result with common cause that each group contributes; nothing where a revision did not store the split."""
    bars = described.shares(function, names)
    return [BarRows(bars)] if bars.rows else []


def trend(points: Sequence[Point], stops: dict[str, str], targets: Mapping[str, str]) -> list[Block]:
    """Results of functions over revisions."""
    return [TrendChart(chart) for chart in line_charts.trend(points, stops, targets)]


def against_beta(curves: Curves, *, demand: str, limit: float) -> list[Block]:
    """Result against beta: as built as a heavy line, other votings dashed; where the group stands, marked."""
    return [CurveChart(line_charts.against_beta(curves, demand=demand, limit=limit))]
