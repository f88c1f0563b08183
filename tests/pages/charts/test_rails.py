"""Chart data of rails, before rendering. The figures are worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from checks.assessment.assessment import Assessment
from checks.assessment.results import Band, FunctionResult
from checks.plantfile import plant_file
from demo import load
from pages.charts.rails import BEFORE, CYBER, KEPT, SHARED, rails, shares, steps
from scoring.erosion import Cases

# RRF 50 alone, 500 with the cyber scenario, 640 with common cause, 5,000 without; the target is 200.
CASES = Cases(single=0.02, ideal=0.0002, scored=0.0015625, adjusted=0.002)
NAMED = {"single": "alone", "adjusted": "left", "scored": "scored", "ideal": "ideal"}


@pytest.fixture(scope="module")
def built() -> FunctionResult:
    """A function of the demo plant with several redundant groups."""
    return Assessment(plant_file.read(load.PLANT)).function("SIF-301")


@pytest.fixture(scope="module")
def function(built: FunctionResult) -> FunctionResult:
    """The same function with fixed cases."""
    return replace(built, cases=CASES, target=200.0, band=Band(0.001, 0.004))


def test_the_earlier_result_is_outlined_from_one_channel_on(function: FunctionResult) -> None:
    before = replace(function, cases=replace(CASES, single=0.04, adjusted=0.0025))
    chart = rails([function], {function.id: "name"}, before={function.id: before})
    assert chart.rows[0].ghost == pytest.approx((25.0, 400.0))
    assert BEFORE in chart.legend


def test_nothing_is_outlined_without_a_change(function: FunctionResult) -> None:
    (row,) = rails([function], {function.id: ""}, before={function.id: function}).rows
    assert row.ghost is None
    (row,) = rails([function], {function.id: ""}).rows
    assert row.ghost is None


def test_a_range_without_length_is_not_drawn(function: FunctionResult) -> None:
    (row,) = rails([replace(function, band=Band(0.002, 0.002))], {function.id: ""}).rows
    assert row.whisker is None


def test_a_rail_has_a_text_alternative(function: FunctionResult) -> None:
    chart = rails([function, function], {function.id: "name"})
    sentence = f"{function.id}: RRF 640, target 200: met by 3.2; cyber scenario 500: met by 2.5"
    assert chart.alt_text == f"{sentence}; {sentence}"


def test_each_of_the_four_cases_begins_at_the_end_of_the_one_before(function: FunctionResult) -> None:
    rows = steps(function, NAMED).rows
    assert [row.name for row in rows] == [(words, "") for words in NAMED.values()]
    assert [row.figures for row in rows] == ["50", "500", "640", "5,000"]
    assert rows[0].dot == pytest.approx(50.0)
    pieces = [piece for row in rows for piece in row.bars]
    assert [piece[2] for piece in pieces] == [KEPT, CYBER, SHARED]
    assert [end for piece in pieces for end in piece[:2]] == pytest.approx([50.0, 500.0, 500.0, 640.0, 640.0, 5000.0])
    assert [row.tick for row in rows] == pytest.approx([200.0] * 4)


def test_the_group_that_contributes_most_is_on_top(built: FunctionResult) -> None:
    rows = shares(built, {group.id: "name" for group in built.groups}).rows
    share = built.share_of("scored")
    ranked = sorted(share, key=share.__getitem__, reverse=True)
    assert [row.name for row in rows] == [(f"{key}  {voting(built, key)}", "name") for key in ranked]
    assert [row.bars[-1][1] for row in rows] == pytest.approx([share[key] * 100.0 for key in ranked])


def voting(function: FunctionResult, key: str) -> str:
    return next(str(group.voting) for group in function.groups if group.id == key)
