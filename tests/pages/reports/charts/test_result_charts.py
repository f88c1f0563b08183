"""Charts on paper: they show the results, and labels do not overlap."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise
from math import log10
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from checks.analysis import beta_curves
from checks.assessment.assessment import Assessment
from checks.assessment.results import Band, FunctionResult
from checks.comparison.comparison import Point
from checks.plantfile import plant_file
from demo import load
from pages.charts.chart_data import MARKS, Scale
from pages.charts.line_charts import MOST_LINES
from pages.charts.rails import CHANNELS, COMMON, CYBER, KEPT, SHARED
from pages.reports.charts import result_charts
from pages.reports.charts.curve_chart import spread
from pages.reports.charts.trend_chart import TrendChart
from pages.reports.layout import page_layout, text_lines
from scoring.erosion import Cases
from tests.pages.reports.read import printed, text

BETAS = np.geomspace(0.002, 0.2, 40)


@pytest.fixture(scope="module")
def demo() -> Assessment:
    return Assessment(plant_file.read(load.PLANT))


@pytest.fixture(scope="module")
def names(demo: Assessment) -> dict[str, str]:
    plant = demo.plant
    return {key: entity.name for key, entity in (*plant.functions.items(), *plant.groups.items())}


@pytest.fixture
def boxes(monkeypatch: pytest.MonkeyPatch) -> list[tuple[int, float, float, float, float]]:
    """Page and box (left, bottom, right, top) of every line of horizontal text."""
    lines: list[tuple[int, float, float, float, float]] = []
    draw = text_lines.draw

    def noted(
        canvas: Any, line: text_lines.Line, x: float, y: float, style: text_lines.Style, *, anchor: str = "left"
    ) -> None:
        left, base = canvas.absolutePosition(x, y)
        left -= {"left": 0.0, "middle": 0.5, "right": 1.0}[anchor] * line.width
        if line.width and (x, y) != (0.0, 0.0):  # except the page count, which is a form
            lines.append((canvas.getPageNumber(), left, base - 1.5, left + line.width, base + style.size * 0.65))
        draw(canvas, line, x, y, style, anchor=anchor)

    monkeypatch.setattr(text_lines, "draw", noted)
    return lines


def meet(box: tuple[int, float, float, float, float], other: tuple[int, float, float, float, float]) -> bool:
    return box[0] == other[0] and box[1] < other[3] and other[1] < box[3] and box[2] < other[4] and other[2] < box[4]


def function(demo: Assessment, demand: str) -> FunctionResult:
    return next(function for function in demo.functions() if function.demand == demand)


def curve(demo: Assessment, function: FunctionResult) -> list[Any]:
    group = next(group for group in function.groups if group.betas is not None)
    return result_charts.against_beta(
        beta_curves.against_beta(demo, function.id, group.id, beta_int=BETAS),
        demand=function.demand,
        limit=function.limit,
    )


def test_the_three_parts_of_a_rail_are_the_gain_of_redundancy_in_decades(demo: Assessment) -> None:
    # RRF 50 alone, 500 with both, 625 with common cause, 5,000 without: reciprocals worked by hand.
    cases = Cases(single=0.02, ideal=0.0002, scored=0.0016, adjusted=0.002)
    result = replace(function(demo, "low"), cases=cases, target=200.0, band=Band(0.001, 0.004))
    (chart,) = result_charts.rails([result], {result.id: ""})
    (row,) = chart.rows  # type: ignore[attr-defined]
    ends = [(round(start, 6), round(end, 6), fill) for start, end, fill in row.bars]
    assert ends == [(50.0, 500.0, KEPT), (500.0, 625.0, CYBER), (625.0, 5000.0, SHARED)]
    assert sum(log10(end / start) for start, end, _ in row.bars) == pytest.approx(2.0)
    assert (row.tick, row.dot, *row.whisker) == pytest.approx((200.0, 50.0, 250.0, 1000.0))
    assert row.figures == "RRF 620, target 200: met by 3.1; cyber scenario 500: met by 2.5"


def test_equal_lengths_are_equal_factors() -> None:
    scale = Scale(1.0, 10_000.0, "")
    assert [scale.share(value) for value in (1.0, 10.0, 100.0, 10_000.0)] == pytest.approx([0.0, 0.25, 0.5, 1.0])


def test_fills_differ_without_colour() -> None:
    assert len({KEPT.pattern, CYBER.pattern, SHARED.pattern}) == 3
    assert CHANNELS.pattern != COMMON.pattern


def test_the_worst_margin_is_on_top_and_high_demand_has_its_own_scale(demo: Assessment, names: dict[str, str]) -> None:
    low, high = result_charts.rails(demo.functions(), names)
    for chart, demand in ((low, "low"), (high, "high")):
        margins = {function.id: function.margin for function in demo.functions() if function.demand == demand}
        shown = [row.name[0] for row in chart.rows]  # type: ignore[attr-defined]
        assert [margins[key] for key in shown] == sorted(margins.values())


def test_a_function_that_voting_makes_worse_than_one_channel_keeps_nothing(demo: Assessment) -> None:
    result = replace(function(demo, "low"), cases=Cases(single=0.01, ideal=0.015, scored=0.018, adjusted=0.02))
    (chart,) = result_charts.rails([result], {result.id: ""})
    start, end, fill = chart.rows[0].bars[0]  # type: ignore[attr-defined]
    assert (start, fill) == (end, KEPT)
    assert result.id in text(printed([chart]))


@pytest.mark.parametrize("demand", ["low", "high"])
def test_shares_add_up_to_the_whole_function(demo: Assessment, names: dict[str, str], demand: str) -> None:
    (chart,) = result_charts.shares(function(demo, demand), names)
    rows = chart.rows  # type: ignore[attr-defined]
    assert sum(end - start for row in rows for start, end, _ in row.bars) == pytest.approx(100.0)
    assert [row.bars[0][1] == row.bars[1][0] for row in rows] == [True] * len(rows)


@pytest.mark.parametrize("long", ["", "x" * 400, "ארוך " * 80, "漢字" * 90])
@pytest.mark.parametrize("demand", ["low", "high"])
def test_labels_do_not_overlap(
    demo: Assessment,
    names: dict[str, str],
    boxes: list[tuple[int, float, float, float, float]],
    demand: str,
    long: str,
) -> None:
    result = function(demo, demand)
    labels = {key: name + long for key, name in names.items()}
    many = [replace(result, id=f"{result.id}-{at}{long}") for at in range(24)]
    moved = replace(result, cases=replace(result.cases, adjusted=result.cases.adjusted * 2.0))
    labels |= {copied.id: long for copied in many}
    stops = {str(at): f"20{at:02d}-03-04" for at in range(30)}
    points = [
        Point(label, "function", copied.id, "RRF" if demand == "low" else "PFH", 500.0 + 40.0 * int(label) + at)
        for label in stops
        for at, copied in enumerate(many)
    ]
    document = printed(
        page_layout.heading("Rails"),
        result_charts.rails(demo.functions(), labels, before={result.id: moved}),
        result_charts.rails(many, labels),
        curve(demo, result),
        result_charts.shares(result, labels),
        result_charts.trend(points, stops, {copied.id: "100" for copied in many}),
    )
    assert len(document.pages) > 3
    assert len(boxes) > 100
    assert [pair for pair in combinations(boxes, 2) if meet(*pair)] == []
    assert all(left >= page_layout.LEFT - 0.01 and right <= page_layout.RIGHT + 0.01 for _, left, _, right, _ in boxes)


def test_a_trend_has_separate_scales_for_rrf_and_pfh_and_gaps_for_missing_figures() -> None:
    # 1/(2e-7 per hour) is 5,000,000 hours; F-3 is missing in the last revision, F-4 changes its demand mode.
    figures = {
        ("F-1", "RRF"): (100.0, 400.0, 200.0),
        ("F-2", "RRF"): (50.0, None, 70.0),
        ("F-3", "RRF"): (10.0, 20.0, None),
        ("F-4", "RRF"): (10.0, None, None),
        ("F-4", "PFH"): (None, 1e-6, 2e-7),
    }
    points = [
        Point(str(at), "function", key, measure, value)
        for (key, measure), values in figures.items()
        for at, value in enumerate(values)
        if value is not None
    ]
    stops = {"0": "2021-03-04", "1": "2023-03-04", "2": "2025-03-04"}
    targets = {"F-1": "150", "F-2": "60", "F-4": "1e-06/h"}
    low, high = result_charts.trend(points, stops, targets)
    assert isinstance(low, TrendChart)
    assert isinstance(high, TrendChart)
    assert [(line.name, line.values) for line in low.lines] == [
        ("F-1, target 150", (100.0, 400.0, 200.0)),
        ("F-2, target 60", (50.0, None, 70.0)),
    ]
    (only,) = high.lines
    assert only.name == "F-4, target 1e-06/h"
    assert only.values[0] is None
    assert only.values[1:] == pytest.approx((1e6, 5e6))
    shown = text(printed([low, high]))
    assert shown.count("equal lengths are equal factors") == 2
    assert shown.count("2023-03-04") == 2


def test_lines_of_one_trend_differ_without_colour() -> None:
    assert len(set(MARKS)) == len(MARKS) == MOST_LINES
    many = {f"F-{at}": "1" for at in range(2 * MOST_LINES + 1)}
    points = [Point(label, "function", key, "RRF", 10.0) for key in many for label in "01"]
    charts = result_charts.trend(points, {"0": "2021-03-04", "1": "2023-03-04"}, many)
    assert [len(chart.lines) for chart in charts if isinstance(chart, TrendChart)] == [MOST_LINES, MOST_LINES, 1]


def test_legend_and_scale_are_on_every_page_of_a_long_chart(demo: Assessment) -> None:
    result = function(demo, "low")
    many = [replace(result, id=f"F-{at}") for at in range(60)]
    document = printed(result_charts.rails(many, {copied.id: "" for copied in many}))
    assert len(document.pages) > 3
    for page in document.pages:
        assert "lost to common cause" in page.extract_text()
        assert "equal lengths are equal factors" in page.extract_text()


@pytest.mark.parametrize("demand", ["low", "high"])
def test_a_curve_names_its_votings_target_and_marked_points(demo: Assessment, demand: str) -> None:
    shown = text(printed(curve(demo, function(demo, demand))))
    for words in ("as built", "instead", "target", "with common cause: beta_int", "with the cyber scenario: beta_int"):
        assert words in shown


@given(st.lists(st.floats(min_value=0.0, max_value=300.0), max_size=12).map(sorted))
def test_labels_are_spread_in_order_and_stay_in_place_if_there_is_space(places: list[float]) -> None:
    moved = spread(places, 10.0)
    assert all(second - first >= 10.0 - 1e-6 for first, second in pairwise(moved))
    assert sum(moved) == pytest.approx(sum(places))
    if all(second - first >= 10.0 for first, second in pairwise(places)):
        assert moved == pytest.approx(places)
