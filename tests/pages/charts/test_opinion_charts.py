"""Opinions on one axis as data of a chart: what each row marks, and the range behind them in every renderer."""

from __future__ import annotations

from dataclasses import replace

import pytest

from checks.analysis import beta_opinions
from checks.analysis.beta_opinions import GroupOpinions
from pages.charts import opinion_charts, plotly_figures
from pages.charts.rail_html import bar_chart
from pages.presentation.palette import DARK, LIGHT
from tests.checks.given import answer, assessed


def opinions() -> GroupOpinions:
    found = beta_opinions.of_group(assessed(answer("SEP1", "group:pt-301")), "pt-301")
    assert found is not None
    return found


def test_an_opinion_that_is_not_given_has_no_mark() -> None:
    chart = opinion_charts.betas(opinions())
    carried, *others = chart.rows
    assert carried.dot == pytest.approx(10.0)
    asked = others[: len(opinions().asked)]
    assert all((row.dot, row.whisker, row.bars) == (None, None, ()) for row in asked)
    assert all(row.figures == "not answered" for row in asked)


def test_published_betas_are_bars_from_the_lowest_to_the_highest() -> None:
    """SINTEF PDS data handbook 2013, transmitters and detectors 6 to 7 %. From memory."""
    row = next(row for row in opinion_charts.betas(opinions()).rows if "PDS 2013" in row.name[0])
    ((low, high, _),) = row.bars
    assert low == pytest.approx(6.0, rel=0.03)
    assert high == pytest.approx(7.0, rel=0.03)


def test_a_beta_of_zero_has_no_place_on_the_axis_and_no_mark() -> None:
    found = opinions()
    nothing = replace(found.carried, beta=0.0, band=(0.0, 0.0))
    row = opinion_charts.betas(replace(found, carried=nothing)).rows[0]
    assert (row.dot, row.whisker, row.figures) == (None, None, "0 %")


def test_every_mark_lies_on_the_axis() -> None:
    chart = opinion_charts.betas(opinions())
    assert chart.backdrop is not None
    values = [*chart.backdrop, *(value for row in chart.rows for value in row.values)]
    assert all(chart.scale.low < value < chart.scale.high for value in values)


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_the_range_behind_is_drawn_between_dotted_lines_on_screen(palette: object) -> None:
    chart = opinion_charts.betas(opinions())
    shapes = plotly_figures.bar_chart(chart, palette).layout.shapes  # type: ignore[arg-type]
    assert [shape.line.dash for shape in shapes if shape.layer == "below"] == [None, "dot", "dot"]
    assert bar_chart(chart, palette).count('class="backdrop"') == len(chart.rows)  # type: ignore[arg-type]
    plain = replace(chart, backdrop=None)
    assert all(shape.layer != "below" for shape in plotly_figures.bar_chart(plain, palette).layout.shapes)  # type: ignore[arg-type]
    assert "backdrop" not in bar_chart(plain, palette)  # type: ignore[arg-type]
