"""Functions that fall from a foothold, and single closings: against trying each, and the demo by hand."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from checks.plantfile.plant import OUTSIDE, Plant
from checks.reach import conduit_graph
from checks.reach.footholds import footholds, from_foothold
from demo.load import PLANT
from tests.checks.reach.zoned import plants, zoned

DEMO = plant_file.read(PLANT)
ALL_BUT_THE_RELAY_FUNCTION = {"SIF-301", "SIF-302", "SIF-303", "SIF-401", "SIF-501", "SIF-701", "SIF-702"}


def _without(plant: Plant, conduit: str) -> Plant:
    others = {key: other for key, other in plant.conduits.items() if key != conduit}
    return plant.model_copy(update={"conduits": others})


def _fallen(plant: Plant, zones: frozenset[str]) -> set[str]:
    """The functions that fall if these zones are compromised, group by group."""
    defeated = [key for key, group in plant.groups.items() if group.programmable and group.zone in zones]
    return {key for key, function in plant.functions.items() if function.defeated_by(defeated)}


@given(plants(), st.data())
def test_a_function_falls_as_soon_as_the_zones_within_that_distance_defeat_it(
    plant: Plant, data: st.DataObject
) -> None:
    reach = from_foothold(plant, data.draw(st.sampled_from([*plant.zones, OUTSIDE])))
    assert {fallen.function for fallen in reach.functions} == _fallen(plant, frozenset(z.zone for z in reach.zones))
    for fallen in reach.functions:
        within = frozenset(zone.zone for zone in reach.zones if zone.distance <= fallen.distance)
        nearer = frozenset(zone.zone for zone in reach.zones if zone.distance < fallen.distance)
        assert fallen.function in _fallen(plant, within) - _fallen(plant, nearer)
        assert {plant.groups[key].zone for key in fallen.groups} == set(fallen.zones)
        assert all(plant.groups[key].programmable for key in fallen.groups)


@given(plants(), st.data())
def test_the_closings_are_what_trying_each_conduit_gives_in_the_order_of_what_is_left(
    plant: Plant, data: st.DataObject
) -> None:
    foothold = data.draw(st.sampled_from([*plant.zones, OUTSIDE]))
    reach = from_foothold(plant, foothold)
    whole = conduit_graph.ways(plant, foothold).keys()
    left = {key: frozenset(conduit_graph.ways(_without(plant, key), foothold)) for key in plant.conduits}
    assert {closing.conduit: frozenset(closing.zones_left) for closing in reach.closings} == {
        key: zones for key, zones in left.items() if zones != whole
    }
    for closing in reach.closings:
        assert set(closing.functions_left) == _fallen(plant, left[closing.conduit])
    counts = [len(closing.functions_left) for closing in reach.closings]
    assert counts == sorted(counts)
    fewest = min((len(_fallen(plant, zones)) for zones in left.values()), default=len(reach.functions))
    best = {key for key, zones in left.items() if len(_fallen(plant, zones)) == fewest < len(reach.functions)}
    assert {closing.conduit for closing in reach.best_closings} == best


@given(plants(), st.data())
def test_a_safety_zone_needs_several_closings_where_no_single_one_keeps_it_out(
    plant: Plant, data: st.DataObject
) -> None:
    safety = {key: zone.model_copy(update={"safety_related": True}) for key, zone in plant.zones.items()}
    plant = plant.model_copy(update={"zones": safety})
    reach = from_foothold(plant, data.draw(st.sampled_from([*plant.zones, OUTSIDE])))
    single = {zone.zone for zone in reach.zones for one in reach.closings if zone.zone not in one.zones_left}
    several = {separation.zone for separation in reach.separations}
    assert single | several == {zone.zone for zone in reach.others}
    assert not single & several
    assert all(len(separation.conduits) > 1 for separation in reach.separations)


def test_a_relay_group_does_not_fall_and_alternatives_fall_together_only() -> None:
    """The rules of the reach of a zone, over a conduit: r is no programmable group; of a or b one is enough."""
    shared = {"beta": 0.1, "source": "invented"}
    functions = {"relay": {"groups": ["r"]}, "either": {"groups": [{"any": ["a", "b"], "stated_beta": shared}]}}
    conduits = {"C1": {"between": ["ops", "one"]}, "C2": {"between": ["one", "two"]}}
    zones, placed = ["ops", "one", "two", "off"], {"r": "one", "a": "one", "b": "two"}
    reach = from_foothold(zoned(zones, conduits, placed, functions, relays=["r"]), "ops")
    (fallen,) = reach.functions
    assert (fallen.function, fallen.distance, fallen.zones) == ("either", 2, ("one", "two"))
    assert [(one.conduit, one.functions_left) for one in reach.closings] == [("C1", ()), ("C2", ())]
    apart = from_foothold(zoned(zones, conduits, {**placed, "b": "off"}, functions, relays=["r"]), "ops")
    assert apart.functions == ()


def test_a_data_diode_lets_nothing_back() -> None:
    conduits = {"C1": {"between": ["sis", "ops"], "flow": "read", "one_way_to": "ops"}}
    plant = zoned(["sis", "ops"], conduits, {"ls": "sis"}, {"F": {"groups": ["ls"]}})
    assert from_foothold(plant, "ops").functions == ()
    assert [zone.zone for zone in from_foothold(plant, "sis").zones] == ["sis", "ops"]


def test_from_operations_of_the_demo() -> None:
    """By hand from the plant file: Z3 has C2 to Z2, C3 to Z4, C7 to Z7, and C5 to Z5, which is closed (flow: none).

    C3 C4 is the way to Z5, C3 C6 to Z6, C2 C1 to Z1, C3 C4 C8 to Z8: seven other zones. ls-sis in Z5 is a programmable group
    of every function but SIF-210, whose two groups are relays; ltr-701 in Z7 lets SIF-701 fall after one conduit already.
    Without C3, Z7 is left (SIF-701). Without C4, Z7 and Z6 (SIF-701, SIF-303). Without C7, ls-sis is still reached.
    """
    reach = from_foothold(DEMO, "Z3")
    assert {zone.zone: zone.conduits for zone in reach.zones} == {
        "Z3": (),
        "Z2": ("C2",),
        "Z4": ("C3",),
        "Z7": ("C7",),
        "Z1": ("C2", "C1"),
        "Z5": ("C3", "C4"),
        "Z6": ("C3", "C6"),
        "Z8": ("C3", "C4", "C8"),
    }
    distances = {fallen.function: fallen.distance for fallen in reach.functions}
    assert distances == {**dict.fromkeys(ALL_BUT_THE_RELAY_FUNCTION, 2), "SIF-701": 1}
    saving = {one.conduit: set(one.functions_left) for one in reach.closings if len(one.functions_left) < 7}
    assert saving == {"C3": {"SIF-701"}, "C4": {"SIF-701", "SIF-303"}}
    assert [one.conduit for one in reach.best_closings] == ["C3"]
    assert reach.separations == (), "C3 and C4 each keep Z5 out of reach"


def test_from_outside_the_demo_two_closings_tie() -> None:
    """By hand: the only way in is C9 to Z2, and on by C2 to Z3. Z2 and Z1 have no groups, so C9 and C2 leave no function."""
    reach = from_foothold(DEMO, OUTSIDE)
    assert {one.conduit: one.functions_left for one in reach.best_closings} == {"C9": (), "C2": ()}
    assert {fallen.function: fallen.distance for fallen in reach.functions}["SIF-303"] == 4, "Z5 by C9 C2 C3 C4"


def test_the_layer_that_makes_the_demand_is_reached_before_the_function() -> None:
    """By hand: SIF-303 is demanded by Z6, after C9 C2 C3 C6; SIF-301 by Z4, after C9 C2 C3; SIF-702 by none."""
    demands = {fallen.function: fallen.demand_distance for fallen in from_foothold(DEMO, OUTSIDE).functions}
    assert (demands["SIF-303"], demands["SIF-301"], demands["SIF-702"]) == (4, 3, None)


def test_what_lies_outside_is_a_foothold_only_where_a_conduit_ends_there() -> None:
    assert footholds(DEMO) == (OUTSIDE, *DEMO.zones)
    assert footholds(zoned(["a", "b"], {"C": {"between": ["a", "b"]}})) == ("a", "b")


def test_the_json_has_each_foothold_with_lists_and_whole_numbers() -> None:
    results = json.loads(json.dumps(outcome(Assessment(DEMO), second=True), allow_nan=False))
    assert list(results["reached_from"]) == list(footholds(DEMO))
    found = results["reached_from"]["Z3"]
    assert found["zones"]["Z5"] == {
        "distance": 2,
        "conduits": ["C3", "C4"],
        "groups": ["pt-301", "tt-302", "pt-401", "pt-501", "gd-702", "ls-sis", "esv-301"],
    }
    assert found["functions"]["SIF-701"]["zones"] == ["Z7", "Z5"]
    assert found["closings"]["C3"] == {"zones_left": ["Z3", "Z2", "Z7", "Z1"], "functions_left": ["SIF-701"]}
    assert results["not_independent"]["demands"] == {
        "SIF-303": {"zone": "Z6", "groups": ["ltd-303"]},
        "SIF-701": {"zone": "Z7", "groups": ["ltr-701"]},
    }
    assert set(results["not_independent"]["functions"]["Z5"]) == ALL_BUT_THE_RELAY_FUNCTION
    assert "reached_from" not in outcome(Assessment(DEMO))
