"""Chart data of rails, before rendering. The figures are worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from checks.analysis import uncertainty
from checks.analysis.uncertainty import Uncertainty
from checks.assessment.assessment import Assessment
from checks.assessment.results import Band, FunctionResult
from checks.plantfile import plant_file
from demo import load
from pages.charts.rails import BAND, BEFORE, BETAS, CYBER, KEPT, RATES, REST, SHARED, rails, rests_on, shares, steps
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


@pytest.fixture(scope="module")
def found() -> Uncertainty:
    """The uncertainty of that function, with a band worked by hand: PFD 0.000625, 0.00125 and 0.005."""
    of = uncertainty.of_function(Assessment(plant_file.read(load.PLANT)), "SIF-301", power=8)
    assert of is not None
    return replace(of, band=uncertainty.Band(0.000625, 0.00125, 0.005))


def test_the_band_runs_from_the_worse_to_the_better_end_with_its_median(
    function: FunctionResult, found: Uncertainty
) -> None:
    chart = rails([function], {function.id: ""}, bands={function.id: found})
    assert chart.rows[0].band == pytest.approx((200.0, 800.0, 1600.0))
    assert BAND in chart.legend
    assert "5 % to 95 % of the uncertainty: 200 to 1,600, median 800" in chart.numbers(chart.rows[0])
    assert BAND not in rails([function], {function.id: ""}).legend


def test_the_band_stands_at_the_case_with_common_cause_alone(function: FunctionResult, found: Uncertainty) -> None:
    rows = dict(zip(NAMED, steps(function, NAMED, found).rows, strict=True))
    assert {case for case, row in rows.items() if row.band} == {"scored"}


def test_what_a_result_rests_on_adds_up_with_what_is_left(found: Uncertainty) -> None:
    chart = rests_on(found)
    lengths = [row.bars[0][1] for row in chart.rows]
    left_out = 100.0 * sum(part.share for part in found.rests_on if part.share < 0.01)
    assert sum(lengths) + left_out == pytest.approx(100.0)
    assert lengths[:-1] == sorted(lengths[:-1], reverse=True)
    assert {row.bars[0][2] for row in chart.rows} == {RATES, BETAS, REST}
    assert len({fill.pattern for fill in (RATES, BETAS, REST)}) == 3


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
