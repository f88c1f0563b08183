"""Zones of which one compromise defeats a function, their gaps and conduits, and groups whose result does not change."""

from __future__ import annotations

from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.reach import compromise
from demo.load import PLANT
from tests.checks.given import plain

DEMO = Assessment(plant_file.read(PLANT))


def test_the_relay_function_of_the_demo_is_not_reached() -> None:
    """SIF-210 has two relay groups (programmable: false). Source: the description of the demo."""
    assert compromise.ways(DEMO, "SIF-210") == ()
    assert "SIF-210" not in DEMO.zone("Z5").reach
    assert len(DEMO.zone("Z5").reach) == 7


def test_a_function_names_each_zone_of_a_programmable_group_with_its_gaps_and_conduits() -> None:
    ways = {way.zone: way for way in compromise.ways(DEMO, "SIF-303")}
    assert set(ways) == {"Z5", "Z6"}
    assert ways["Z6"].groups == ("ltd-303",)
    assert ways["Z5"].gaps == len(DEMO.zone("Z5").gaps)
    assert dict(ways["Z6"].conduits) == {"C6": "Z4"}


def test_a_zone_that_nobody_reviewed_has_no_number_of_gaps() -> None:
    raw = plain()
    raw["answers"] = []
    (way, *_) = compromise.ways(Assessment(Plant.model_validate(raw)), "SIF-301")
    assert way.gaps is None


def test_programmable_groups_without_redundancy_are_named_as_unmoved() -> None:
    assert compromise.unmoved(DEMO, "SIF-701") == ("ltr-701",)
    assert compromise.unmoved(DEMO, "SIF-301") == ()


def test_the_json_says_both_ways() -> None:
    results = outcome(DEMO)
    for name, function in results["functions"].items():
        for zone in results["zones"]:
            assert (zone in function["defeated_by"]) == (name in results["zones"][zone]["reach"])
