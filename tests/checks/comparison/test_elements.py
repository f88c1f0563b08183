"""A redundant element between two states: its devices belong to the function, and it comes in steps that are valid plants."""

from __future__ import annotations

from typing import Any

import pytest

from checks.assessment.assessment import Assessment
from checks.comparison.comparison import compare
from checks.comparison.differences import ids_of
from checks.plantfile.plant import Plant
from checks.variants.variant import Variant, outcome
from tests.checks.comparison.states import change, named
from tests.checks.given import ELEMENT, plain_2, plain_with_element


def _with_new_device() -> dict[str, Any]:
    raw = plain_with_element({**ELEMENT, "of": ["SOV", "SO2"]})
    raw["devices"]["SO2"] = {**raw["devices"]["SOV"], "lambda_du_fit": 200}
    return raw


OLD, NEW = (Assessment(Plant.model_validate(raw)) for raw in (plain_2(), _with_new_device()))


def test_a_device_inside_an_element_belongs_to_the_functions_of_its_group() -> None:
    assert "SO2" in ids_of(NEW, ["SIF-1"])["devices"]
    assert "SO2" not in ids_of(NEW, ["SIF-3"])["devices"]


@pytest.mark.parametrize("key", ["SIF-1", "SIF-2"])
def test_the_steps_lead_from_one_state_to_the_other(key: str) -> None:
    """The method comes with the element, which Annex B refuses, and the device before the element that names it."""
    for old, new in ((OLD, NEW), (NEW, OLD)):
        found = compare(old, new)
        steps = change(found, key).steps
        assert steps
        assert steps[0].before == pytest.approx(old.function(key).cases.adjusted, rel=1e-9)
        assert steps[-1].after == pytest.approx(new.function(key).cases.adjusted, rel=1e-9)
        listed = [place for places in named(found, key) for place in places]
        assert {"devices.SO2", "groups.esv.channels"} <= set(listed)


def test_a_variant_keeps_the_element_and_repeats_its_channel_for_a_further_one() -> None:
    raw = _with_new_device()
    raw["groups"]["esv"]["tests"] = [{"interval_h": 8760, "coverage": 1.0}]
    plant = Plant.model_validate(raw)
    third = Variant("A").put(plant, "esv", "voting", "1oo3")
    text = third.text(plant, "esv", "channels")
    assert text.count("1oo2 of SOV, SO2") == 2
    found = outcome(Assessment(plant), "SIF-1", third)
    assert found.draft.faults == ()
    assert found.function is not None
