"""What stands beside a result: the other method, whichever carries the result."""

from __future__ import annotations

from typing import Any

import pytest

from checks.analysis import beside_result
from checks.analysis.second_opinion import ANNEX_B
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Plant
from scoring.timeline.method import TIMELINE
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
