"""A redundant element inside a channel beside the result: spurious trips, architecture, second opinion, uncertainty, curves, JSON."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from checks.analysis import architecture, beside_result, beta_curves, second_opinion, spurious_trips, uncertainty
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Plant
from tests.checks.given import ELEMENT, plain_with_element

YEAR = 8760.0


def _assessed(element: dict[str, Any] | None = None, **changes: Any) -> Assessment:
    """The plant with safe rates of SOV and ESV, 500 and 200 FIT; fields of the group esv changed."""
    raw = plain_with_element(element)
    raw["devices"]["SOV"]["lambda_s_fit"], raw["devices"]["ESV"]["lambda_s_fit"] = 500, 200
    raw["groups"]["esv"] |= changes
    return Assessment(Plant.model_validate(raw))


def _trips(assessment: Assessment) -> list[spurious_trips.Trips]:
    return list(spurious_trips.of_group(assessment, "esv").trips)


ONE = {"voting": "1oo1", "channels": [[dict(ELEMENT), "ESV"]]}


def test_a_single_channel_trips_as_its_element_and_its_devices_do() -> None:
    """By hand, beta 0.1: 2 x 500 + 0.1 x 500 + 200 FIT as printed, 2 x 0.9 x 500 + 0.1 x 500 + 200 FIT with the beta split."""
    printed, split = _trips(_assessed(**ONE))
    assert printed.per_year == pytest.approx((2.1 * 500 + 200) * 1e-9 * YEAR, rel=1e-12)
    assert split.per_year == pytest.approx((1.9 * 500 + 200) * 1e-9 * YEAR, rel=1e-12)


def test_two_of_two_devices_trip_together_only() -> None:
    """By hand, MTTR 24 h: 2 (0.9 x 500e-9)^2 24 + 0.1 x 500 FIT, with the beta split."""
    element = {**ELEMENT, "voting": "2oo2"}
    _, split = _trips(_assessed(**{**ONE, "channels": [[element, "ESV"]]}))
    expected = 2 * (0.9 * 500e-9) ** 2 * 24 + 0.1 * 500e-9 + 200e-9
    assert split.per_year == pytest.approx(expected * YEAR, rel=1e-12)


def test_an_element_without_a_form_or_a_beta_is_said_and_never_counted_as_0() -> None:
    """3oo4 is not printed by ISA-TR84.00.02; a 2oo2 element without a beta has no common-cause part."""
    element = {**ELEMENT, "voting": "3oo4", "of": ["SOV"] * 4}
    printed, split = _trips(_assessed(**{**ONE, "channels": [[element, "ESV"]]}))
    assert printed.rate is None
    assert "redundant element 3oo4 of SOV, SOV, SOV, SOV inside a channel: 3oo4 has no equation" in printed.missing
    assert split.rate is not None
    without = {"voting": "2oo2", "of": ["SOV", "SOV"]}
    for trips in _trips(_assessed(**{**ONE, "channels": [[without, "ESV"]]})):
        assert trips.rate is None
        assert "no beta is known for 2oo2" in trips.missing


def test_it_adds_nothing_to_the_fault_tolerance_of_the_group_and_the_statements_say_so() -> None:
    found = architecture.of_function(_assessed(**ONE), "SIF-1")
    (esv,) = (group for group in found.groups if group.id == "esv")
    assert esv.hft == 0
    assert all("a redundant element inside a channel adds nothing to the HFT" in each.words for each in esv.statements)


@pytest.mark.parametrize("key", ["SIF-1", "SIF-2"])
def test_the_second_opinion_says_that_annex_b_has_no_form(key: str) -> None:
    assessment = _assessed()
    found = second_opinion.second_opinion(assessment, key)
    assert found is not None
    assert (found.carried, found.function.annex_b) == (True, None)
    assert found.why == "Annex B has no form for esv: a channel has a redundant element inside."
    assert {entry.id for entry in found.entries if entry.annex_b is None} == {"esv"}
    assert beside_result.of_function(assessment, key).result is None


def test_a_device_inside_an_element_is_an_uncertain_input() -> None:
    """A second device lowers the share of its rates: a pair is down at the square of what one is."""
    redundant = uncertainty.of_function(_assessed(**ONE), "SIF-1")
    plain = uncertainty.of_function(_assessed(**{**ONE, "channels": [["SOV", "ESV"]]}), "SIF-1")
    assert redundant is not None
    assert plain is not None
    shares = [
        {share.input.name: share.share for share in found.rests_on}["failure rates of SOV"]
        for found in (redundant, plain)
    ]
    assert 0.0 <= shares[0] < shares[1]
    assert redundant.band.p50 < plain.band.p50
    assert "beta of 1oo2 of SOV, SOV in esv" in redundant.fixed


def test_a_beta_that_only_spurious_trips_have_is_not_said_to_be_held_in_the_result() -> None:
    element = {**ELEMENT, "voting": "2oo2"}
    found = uncertainty.of_function(_assessed(**{**ONE, "channels": [[element, "ESV"]]}), "SIF-1", power=6)
    assert found is not None
    assert not [name for name in found.fixed if "2oo2" in name]


def test_a_curve_against_the_beta_of_the_group_goes_through_its_result() -> None:
    """A fixed beta of the element all along the curve."""
    assessment = _assessed(stated_beta={"beta": 0.02, "beta_d": 0.02, "source": "site"})
    curves = beta_curves.against_beta(assessment, "SIF-2", "esv", beta_int=np.array([0.02, 0.2, 1.0]))
    (built,) = (curve for curve in curves.curves if curve.as_built)
    assert built.result[0] == pytest.approx(assessment.function("SIF-2").cases.scored, rel=1e-9)
    assert (np.diff(built.result) > 0.0).all()
