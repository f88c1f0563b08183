"""Functions that one zone defeats together, and functions that the zone of their demand defeats."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given

from checks.assessment.links import Links
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.reach import independence
from demo.load import PLANT
from tests.checks.reach.zoned import plants


@given(plants())
def test_two_functions_stand_together_exactly_where_both_lie_in_the_reach_of_one_zone(plant: Plant) -> None:
    links = Links(plant)
    expected = {(zone, pair) for zone in plant.zones for pair in combinations(sorted(links.reach(zone)), 2)}
    found = {
        (together.zone, pair)
        for together in independence.defeated_together(plant)
        for pair in combinations(sorted(together.functions), 2)
    }
    assert found == expected
    assert sum(together.pairs for together in independence.defeated_together(plant)) == len(expected)


@given(plants())
def test_a_function_is_not_independent_of_its_demand_exactly_where_the_zone_of_the_demand_reaches_it(
    plant: Plant,
) -> None:
    links = Links(plant)
    expected = {
        (key, function.demand_zone)
        for key, function in plant.functions.items()
        if function.demand_zone is not None and key in links.reach(function.demand_zone)
    }
    assert {(shared.function, shared.zone) for shared in independence.demands_from_same_zone(plant)} == expected


def test_the_demo_has_one_zone_with_twenty_one_pairs_and_two_functions_that_fall_with_their_demand() -> None:
    """By hand: seven functions use ls-sis in Z5, 7 x 6 / 2 pairs. Z6 and Z7 each defeat one function alone: no pair.

    Z6 holds the package controller that makes the demand on SIF-303, and its transmitters ltd-303; Z7 gauges the tank of
    SIF-701 with the radar ltr-701.
    """
    demo = plant_file.read(PLANT)
    (together,) = independence.defeated_together(demo)
    assert (together.zone, len(together.functions), together.pairs) == ("Z5", 7, 21)
    assert together.functions["SIF-303"] == ("ls-sis",)
    assert together.functions["SIF-301"] == ("pt-301", "ls-sis", "esv-301")
    shared = {one.function: (one.zone, one.groups) for one in independence.demands_from_same_zone(demo)}
    assert shared == {"SIF-303": ("Z6", ("ltd-303",)), "SIF-701": ("Z7", ("ltr-701",))}
