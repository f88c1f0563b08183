"""The basis of one safety system: enough to compute each of its figures again, and nothing private of the others."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import pytest

from checks.assessment.assessment import Assessment
from checks.assessment.json_results import outcome
from checks.plantfile.plant import Answer
from checks.revision import basis
from checks.revision.basis import NoSuchSystem
from checks.text.canonical import canonical
from tests.checks.given import answer
from tests.checks.reassessment.given import demo
from tests.checks.team import three_systems

SYSTEMS = sorted(demo().systems)


@cache
def whole() -> Assessment:
    return Assessment(demo())


@cache
def held(system: str) -> dict[str, Any]:
    """A basis as it comes back out of a file."""
    told: dict[str, Any] = json.loads(canonical(basis.facts(whole(), system)))
    return told


def test_the_demo_plant_has_several_systems_that_share_groups() -> None:
    assert len(SYSTEMS) > 2
    assert any(basis.scope(demo(), whole().links, one).sharing for one in SYSTEMS)


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_figure_from_the_basis_is_that_of_the_whole_plant_digit_for_digit(system: str) -> None:
    plant, everything = demo(), outcome(whole())
    functions = plant.systems[system].functions
    groups = {key for name in functions for key in plant.functions[name].groups}
    zones = {plant.groups[key].zone for key in groups} - {None}
    found = basis.results(basis.assessment_of(held(system)), system)
    for block, keys in (("functions", functions), ("groups", groups), ("zones", zones)):
        assert found[block].keys() == set(keys)
        for key in keys:
            stored, printed = found[block][key], everything[block][key]
            assert {name: stored[name] for name in stored.keys() & printed.keys()} == {
                name: printed[name] for name in stored.keys() & printed.keys()
            }
    assert (found["plant"], found["conventions"]) == (everything["plant"], everything["conventions"])


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_basis_is_the_same_after_a_round_trip_through_json(system: str) -> None:
    facts = basis.facts(whole(), system)
    assert held(system) == facts
    assert canonical(held(system)) == canonical(facts)
    assert basis.facts(basis.assessment_of(held(system)), system) == facts
    assert basis.hash_of(held(system)) == basis.hash_of(facts)


@pytest.mark.parametrize("system", SYSTEMS)
def test_of_other_systems_only_names_stand_in_a_basis(system: str) -> None:
    plant, cut = demo(), held(system)["plant"]
    functions = plant.systems[system].functions
    groups = {key for name in functions for key in plant.functions[name].groups}
    assert set(cut["functions"]) == set(functions)
    assert set(cut["groups"]) == groups
    zones = {plant.groups[key].zone for key in groups}
    for key, zone in cut["zones"].items():
        assert key in zones or set(zone) <= {"name"}
    for key, one in cut["systems"].items():
        assert key == system or set(one) <= {"name"}
    used = {name for key in groups for channel in plant.groups[key].channels for name in channel}
    assert set(cut["devices"]) == used


def test_answers_of_what_a_system_does_not_rest_on_stay_out_of_its_basis() -> None:
    ours = ["plant", "system:S30", "system:S40", "group:pt-301", "group:ls-sis", "zone:field", "zone:sis"]
    theirs = ["system:S50", "group:tt-401", "group:pos-210", "group:lt-501", "zone:bpcs", "zone:package"]
    private = "nobody else shall read this"
    given = [_about(of, private if of in theirs else "shown") for of in (*ours, *theirs)]
    text = canonical(basis.facts(Assessment(three_systems()).with_answers(given), "S30")).decode()
    assert private not in text
    answers = json.loads(text)["plant"]["answers"]
    assert [one["of"] for one in answers] == sorted(ours)


def _about(of: str, evidence: str) -> Answer:
    return answer("Z01" if of.startswith("zone") else "PRO1", of, evidence=evidence)


def test_a_system_that_is_not_there_is_named_with_those_that_are() -> None:
    with pytest.raises(NoSuchSystem, match=r"^S99 is no safety system of this plant; it has S30, S40, S50$"):
        basis.facts(Assessment(three_systems()), "S99")


@pytest.mark.parametrize("system", ["S30", "S40", "S50"])
def test_answers_of_a_sharing_system_count_in_the_basis_as_in_the_plant(system: str) -> None:
    """The least favourable of the systems that share a group speaks: the other system's answer has to be at hand."""
    given = [answer("ASM1", "system:S30"), answer("ASM1", "system:S40", "not-met"), answer("SEP1", "group:ls-sis")]
    plant = Assessment(three_systems()).with_answers(given)
    again = basis.assessment_of(json.loads(canonical(basis.facts(plant, system))))
    for key in basis.scope(plant.plant, plant.links, system).groups:
        assert again.group(key).betas == plant.group(key).betas
        assert again.group(key).pfd == plant.group(key).pfd
