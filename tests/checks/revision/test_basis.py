"""The basis of one safety system: enough to compute all its figures again, and nothing private of other systems."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import pytest

from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Answer
from checks.revision import basis
from checks.revision.basis import NoSuchSystem
from checks.text.canonical import canonical
from tests.checks.given import answer
from tests.checks.reassessment.given import demo
from tests.checks.team import three_systems

SYSTEMS = sorted(demo().systems)


@cache
def demo_assessment() -> Assessment:
    return Assessment(demo())


@cache
def stored_basis(system: str) -> dict[str, Any]:
    """A basis read back from a file."""
    facts: dict[str, Any] = json.loads(canonical(basis.facts(demo_assessment(), system)))
    return facts


def test_the_demo_plant_has_several_systems_that_share_groups() -> None:
    assert len(SYSTEMS) > 2
    assert any(basis.scope(demo(), demo_assessment().links, system).sharing for system in SYSTEMS)


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_figure_from_the_basis_is_that_of_the_whole_plant_digit_for_digit(system: str) -> None:
    plant, expected = demo(), outcome(demo_assessment())
    functions = plant.systems[system].functions
    groups = {key for name in functions for key in plant.functions[name].groups}
    zones = {plant.groups[key].zone for key in groups} - {None}
    results = basis.results(basis.assessment_of(stored_basis(system)), system)
    for block, keys in (("functions", functions), ("groups", groups), ("zones", zones)):
        assert results[block].keys() == set(keys)
        for key in keys:
            stored, printed = results[block][key], expected[block][key]
            assert {name: stored[name] for name in stored.keys() & printed.keys()} == {
                name: printed[name] for name in stored.keys() & printed.keys()
            }
    assert (results["plant"], results["conventions"]) == (expected["plant"], expected["conventions"])


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_basis_is_the_same_after_a_round_trip_through_json(system: str) -> None:
    facts = basis.facts(demo_assessment(), system)
    assert stored_basis(system) == facts
    assert canonical(stored_basis(system)) == canonical(facts)
    assert basis.facts(basis.assessment_of(stored_basis(system)), system) == facts
    assert basis.hash_of(stored_basis(system)) == basis.hash_of(facts)


@pytest.mark.parametrize("system", SYSTEMS)
def test_of_other_systems_only_names_are_in_a_basis(system: str) -> None:
    plant, cut = demo(), stored_basis(system)["plant"]
    functions = plant.systems[system].functions
    groups = {key for name in functions for key in plant.functions[name].groups}
    assert set(cut["functions"]) == set(functions)
    assert set(cut["groups"]) == groups
    zones = {plant.groups[key].zone for key in groups}
    for key, zone in cut["zones"].items():
        assert key in zones or set(zone) <= {"name"}
    for key, entry in cut["systems"].items():
        assert key == system or set(entry) <= {"name"}
    used = {name for key in groups for channel in plant.groups[key].channels for name in channel}
    assert set(cut["devices"]) == used


def test_the_zone_of_a_demand_is_in_a_basis_by_name_only() -> None:
    plant = three_systems().model_copy(update={"format": 2})
    demanded = plant.functions["SIF-301"].model_copy(update={"demand_zone": "package"})
    plant = plant.model_copy(update={"functions": {**plant.functions, "SIF-301": demanded}})
    cut = basis.facts(Assessment(plant), "S30")["plant"]
    assert cut["functions"]["SIF-301"]["demand_zone"] == "package"
    assert set(cut["zones"]["package"]) <= {"name"}


def test_answers_that_do_not_apply_to_a_system_are_not_in_its_basis() -> None:
    ours = ["plant", "system:S30", "system:S40", "group:pt-301", "group:ls-sis", "zone:field", "zone:sis"]
    theirs = ["system:S50", "group:tt-401", "group:pos-210", "group:lt-501", "zone:bpcs", "zone:package"]
    private = "nobody else shall read this"
    answers_given = [_about(of, private if of in theirs else "shown") for of in (*ours, *theirs)]
    text = canonical(basis.facts(Assessment(three_systems()).with_answers(answers_given), "S30")).decode()
    assert private not in text
    answers = json.loads(text)["plant"]["answers"]
    assert [entry["of"] for entry in answers] == sorted(ours)


def _about(of: str, evidence: str) -> Answer:
    return answer("Z01" if of.startswith("zone") else "PRO1", of, evidence=evidence)


def test_a_system_that_is_not_there_is_named_with_those_that_are() -> None:
    with pytest.raises(NoSuchSystem, match=r"^S99 is no safety system of this plant; it has S30, S40, S50$"):
        basis.facts(Assessment(three_systems()), "S99")


@pytest.mark.parametrize("system", ["S30", "S40", "S50"])
def test_answers_of_a_sharing_system_count_in_the_basis_as_in_the_plant(system: str) -> None:
    """The worst answer of the systems that share a group is used, so the basis needs the other system's answer."""
    answers = [answer("ASM1", "system:S30"), answer("ASM1", "system:S40", "not-met"), answer("SEP1", "group:ls-sis")]
    plant = Assessment(three_systems()).with_answers(answers)
    recomputed = basis.assessment_of(json.loads(canonical(basis.facts(plant, system))))
    for key in basis.scope(plant.plant, plant.links, system).groups:
        assert recomputed.group(key).betas == plant.group(key).betas
        assert recomputed.group(key).pfd == plant.group(key).pfd
