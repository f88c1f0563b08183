"""What stands beside a result: the other method, whichever carries the result."""

from __future__ import annotations

from typing import Any

import pytest

from checks.analysis import beside_result, uncertainty
from checks.analysis.second_opinion import ANNEX_B
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Plant
from scoring.timeline.method import TIMELINE
from scoring.uncertainty.method import SEED
from tests.checks.given import plain_2

KEYS = ("SIF-1", "SIF-3")


def _assessment(method: str, **tests: list[dict[str, Any]]) -> Assessment:
    raw = plain_2()
    raw["conventions"]["redundancy_method"] = method
    for group, of_group in tests.items():
        raw["groups"][group]["tests"] = of_group
    return Assessment(Plant.model_validate(raw))


@pytest.mark.parametrize("key", KEYS)
def test_each_method_stands_beside_the_other_with_the_same_figures(key: str) -> None:
    by_annex_b, over_time = _assessment(ANNEX_B), _assessment(TIMELINE)
    beside_annex_b, beside_timeline = (beside_result.of_function(each, key) for each in (by_annex_b, over_time))
    assert (beside_annex_b.method.id, beside_timeline.method.id) == (TIMELINE, ANNEX_B)
    cases = by_annex_b.function(key).cases
    assert beside_timeline.result == pytest.approx((cases.scored, cases.adjusted), rel=1e-9)
    assert beside_timeline.ratio == pytest.approx(cases.scored / over_time.function(key).cases.scored, rel=1e-9)
    assert beside_annex_b.result is not None
    assert beside_annex_b.ratio == pytest.approx(beside_annex_b.result[0] / cases.scored, rel=1e-9)


def test_where_annex_b_has_no_form_the_group_is_named_and_there_is_no_ratio() -> None:
    in_test = {"interval_h": 8760, "coverage": 1.0, "duration_h": 6, "bypass": "channel"}
    found = beside_result.of_function(_assessment(TIMELINE, esv=[in_test]), "SIF-1")
    assert (found.result, found.ratio) == (None, None)
    assert "no form for esv" in found.why


@pytest.mark.parametrize("key", ["SIF-1", "SIF-3"])
def test_the_figures_are_those_of_each_function_alone(key: str) -> None:
    assessment = _assessment(ANNEX_B)
    figures = beside_result.figures(assessment, KEYS)
    assert figures.functions[key] is assessment.function(key)
    assert figures.bands[key] == uncertainty.of_function(assessment, key)
    assert figures.bands[key].seed == SEED
    assert figures.besides[key] == beside_result.of_function(assessment, key)


def _low() -> list[str]:
    plant = _assessment(ANNEX_B).plant
    return [key for key in KEYS if plant.functions[key].demand == "low"]


def _passed(p: float | None, pfd: float) -> float:
    """Probability that a demand is not met, where a compromise defeats the function with probability p, independently."""
    assert p is not None
    return 1.0 - (1.0 - p) * (1.0 - pfd)


def test_the_ends_of_the_band_of_a_break_even_just_meet_the_target() -> None:
    """From the meaning of a break-even alone; the share of points without one is the probability of missing the target."""
    assessment = _assessment(ANNEX_B)
    for key in _low():
        function, band = assessment.function(key), uncertainty.of_function(assessment, key)
        assert band is not None
        worst, best = beside_result.break_even_band(function, band)
        ends = ((worst, band.band.p95), (best, band.band.p5))
        for end, pfd in ends:
            assert (end is None) == (pfd > function.limit)
            if end is not None:
                assert _passed(end, pfd) == pytest.approx(function.limit, rel=1e-9)
        assert band.misses is not None
        assert (worst is None) == (band.misses > 0.05)
        now = function.break_even_scored
        if worst is not None and best is not None and now is not None:
            assert worst < now < best


def test_the_break_evens_by_the_second_method_start_from_its_results() -> None:
    assessment = _assessment(ANNEX_B)
    for key in _low():
        function, beside = assessment.function(key), beside_result.of_function(assessment, key)
        assert beside.result is not None
        for end, pfd in zip(beside_result.break_evens(function, beside), beside.result, strict=True):
            assert (end is None) == (pfd > function.limit)
            if end is not None:
                assert _passed(end, pfd) == pytest.approx(function.limit, rel=1e-9)
    stated = beside_result.Beside(beside.method, None, None, "")
    assert beside_result.break_evens(function, stated) == (None, None)


def test_in_high_demand_there_is_no_break_even_and_no_band_of_one() -> None:
    assessment = _assessment(ANNEX_B)
    high = [key for key, function in assessment.plant.functions.items() if function.demand == "high"]
    assert high
    for key in high:
        function, band = assessment.function(key), uncertainty.of_function(assessment, key)
        assert band is not None
        assert beside_result.break_even_band(function, band) == (None, None)
        assert beside_result.break_evens(function, beside_result.of_function(assessment, key)) == (None, None)
