"""Result charts on paper, from the same chart data as the screens.

They are vector graphics with page text: sharp, searchable, and with names in any script.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from checks.analysis.beta_curves import Curves
from checks.analysis.uncertainty import Uncertainty
from checks.assessment.results import FunctionResult
from checks.comparison.comparison import Point
from checks.reassessment.own_beta import OwnBeta
from pages.charts import line_charts
from pages.charts import rails as described
from pages.charts.beta_intervals import beta_intervals
from pages.reports.charts.bar_rows import BarRows
from pages.reports.charts.curve_chart import CurveChart
from pages.reports.charts.trend_chart import TrendChart
from pages.reports.layout.blocks import Block


def rails(
    functions: Sequence[FunctionResult],
    names: Mapping[str, str],
    *,
    before: Mapping[str, FunctionResult] | None = None,
    bands: Mapping[str, Uncertainty] | None = None,
) -> list[Block]:
    """One rail per function, the worst margin on top; low and high demand have separate scales. ``bands`` are drawn below."""
    charts: list[Block] = []
    for demand in described.AXES:
        shown = sorted(
            (function for function in functions if function.demand == demand), key=lambda function: function.order
        )
        if shown:
            charts.append(BarRows(described.rails(shown, names, before=before, bands=bands)))
    return charts


def shares(function: FunctionResult, names: Mapping[str, str]) -> list[Block]:
    """Contribution of each group to the result with common cause; empty if the revision did not store the split."""
    bars = described.shares(function, names)
    return [BarRows(bars)] if bars.rows else []


def rests_on(uncertainty: Uncertainty) -> list[Block]:
    """Share of each input in the uncertainty of a function."""
    return [BarRows(described.rests_on(uncertainty))]


def trend(points: Sequence[Point], stops: dict[str, str], targets: Mapping[str, str]) -> list[Block]:
    """Results of functions over revisions."""
    return [TrendChart(chart) for chart in line_charts.trend(points, stops, targets)]


def against_beta(curves: Curves, *, demand: str, limit: float) -> list[Block]:
    """Result against beta: heavy line as built, dashed lines for other votings, marked points for the group."""
    return [CurveChart(line_charts.against_beta(curves, demand=demand, limit=limit))]


def own_betas(estimates: Sequence[OwnBeta], names: Mapping[str, str]) -> list[Block]:
    """Beta of each group from the plant's own failures; empty without counted failures."""
    bars = beta_intervals(estimates, names)
    return [BarRows(bars)] if bars.rows else []
