"""Figures are assembled without validation; here plotly validates each of them."""

from __future__ import annotations

import numpy as np
import plotly.graph_objects as go
import pytest

from checks.analysis import beta_curves
from checks.analysis.second_opinion import second_opinion
from checks.analysis.uncertainty import Uncertainty, of_function
from checks.assessment.assessment import Assessment
from checks.comparison import comparison
from checks.plantfile import plant_file
from checks.reach.footholds import from_foothold
from demo.load import PLANT
from pages.charts import line_charts, plotly_figures, steps_chart
from pages.charts.chart_data import Bars, Trend
from pages.charts.rails import AXES, rails, rests_on, shares, steps
from pages.charts.zone_map import zone_map
from pages.presentation.palette import DARK, LIGHT, Palette
from tests.checks.given import answer

DEMO = Assessment(plant_file.read(PLANT))
FUNCTIONS = DEMO.functions()
CASES = ("single", "adjusted", "scored", "ideal")


def uncertain(key: str) -> Uncertainty:
    found = of_function(DEMO, key, power=8)
    assert found is not None
    return found


def rail_charts() -> list[Bars]:
    before = {
        function.id: function
        for function in Assessment(DEMO.plant, DEMO.answers.without("TST1", "group:pt-301")).functions()
    }
    names = {key: function.name for key, function in DEMO.plant.functions.items()}
    bands = {function.id: uncertain(function.id) for function in FUNCTIONS}
    charts = [
        rails([function for function in FUNCTIONS if function.demand == demand], names, before=before, bands=bands)
        for demand in AXES
    ]
    assert any(row.ghost for chart in charts for row in chart.rows)
    assert all(row.band for chart in charts for row in chart.rows)
    return charts


def trends() -> list[Trend]:
    states = {"1": DEMO, "now": Assessment(DEMO.plant, DEMO.answers.without("TST1", "group:pt-301"))}
    points = comparison.trend(states, functions=[function.id for function in FUNCTIONS])
    return line_charts.trend(points, {"1": "then", "now": "now"}, {function.id: "aim" for function in FUNCTIONS})


def every_figure(palette: Palette) -> list[go.Figure]:
    figures = [plotly_figures.bar_chart(chart, palette) for chart in rail_charts()]
    figures += [plotly_figures.trend_chart(chart, palette) for chart in trends()]
    for function in FUNCTIONS:
        found = uncertain(function.id)
        figures.append(plotly_figures.bar_chart(steps(function, dict.fromkeys(CASES, "a"), found), palette))
        figures.append(plotly_figures.bar_chart(rests_on(found), palette, named=True))
        figures.append(
            plotly_figures.bar_chart(
                shares(function, {group.id: group.id for group in function.groups}), palette, named=True
            )
        )
        for group in function.groups:
            if group.betas is not None:
                lines = beta_curves.against_beta(DEMO, function.id, group.id, beta_int=np.logspace(-3, 0, 5))
                described = line_charts.against_beta(lines, demand=function.demand, limit=function.limit)
                figures.append(plotly_figures.curve_chart(described, palette))
        second = second_opinion(DEMO, function.id)
        assert second is not None
        over_time = line_charts.over_time(second.curve, demand=function.demand, limit=function.limit)
        figures.append(plotly_figures.time_chart(over_time, palette))
    zones = {key: DEMO.zone(key) for key in DEMO.plant.zones}
    reach = from_foothold(DEMO.plant, "Z3")
    maps = (
        zone_map(DEMO.plant, zones, palette, chosen="Z5"),
        zone_map(DEMO.plant, {}, palette, chosen="Z3", reach=reach),
    )
    return [*figures, *maps]


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_plotly_validates_every_figure(palette: Palette) -> None:
    figures = every_figure(palette)
    assert len(figures) > 30
    for figure in figures:
        raw = figure.to_plotly_json()
        checked = go.Figure(data=raw["data"], layout=raw["layout"])
        assert len(checked.data) == len(raw["data"]) > 0


def test_every_row_answers_to_the_pointer_with_its_numbers_label_included() -> None:
    for chart in rail_charts():
        figure = plotly_figures.bar_chart(chart, LIGHT)
        whole, *others = figure.data
        assert {trace.hoverinfo for trace in others} == {"skip"}
        assert list(whole.customdata) == [row.name[0] for row in chart.rows]
        for index, row in enumerate(chart.rows):
            top, bottom = whole.y[index] - whole.width / 2.0, whole.y[index] + whole.width / 2.0
            assert top < index - 0.7 < index + 0.17 < bottom
            assert (whole.base[index], whole.base[index] + whole.x[index]) == (chart.scale.low, chart.scale.high)
            for line in (row.figures, *chart.numbers(row)):
                assert line in whole.hovertext[index]


def test_the_steps_of_a_function_in_high_demand_are_drawn_where_longer_is_better() -> None:
    met = [answer(name, "group:pos-210", "met") for name in DEMO.questioned("pos-210")]
    better = DEMO.with_answers(met)
    (change,) = [each for each in comparison.compare(better, DEMO, functions=["SIF-210"]).functions if each.steps]
    figure = steps_chart.steps(change, LIGHT, lambda step: f"{len(step.facts)} answers")
    low, high = (10.0**end for end in figure.layout.xaxis.range)
    ends = [
        end
        for trace in figure.data
        for base, length in zip(trace.base, trace.x, strict=True)
        for end in (base, base + length)
    ]
    assert low < min(ends) < max(ends) < high
    old, new = change.old, change.new
    assert old is not None
    assert new is not None
    assert min(ends) == pytest.approx(min(1.0 / old.cases.adjusted, 1.0 / new.cases.adjusted))
    assert max(ends) == pytest.approx(max(1.0 / old.cases.adjusted, 1.0 / new.cases.adjusted))


def test_the_three_parts_of_a_rail_add_up_to_the_gain_of_redundancy() -> None:
    results = {function.id: function.cases for function in FUNCTIONS}
    for chart in rail_charts():
        figure = plotly_figures.bar_chart(chart, LIGHT)
        pieces = {trace.name: trace for trace in figure.data if trace.type == "bar"}
        for row, described in enumerate(chart.rows):
            end = 1.0 / results[described.name[0]].single
            for name in ("redundancy left", "lost to the cyber scenario", "lost to common cause"):
                assert pieces[name].base[row] == pytest.approx(end, rel=1e-12)
                end = pieces[name].base[row] + pieces[name].x[row]
            assert end == pytest.approx(1.0 / results[described.name[0]].ideal, rel=1e-12)
