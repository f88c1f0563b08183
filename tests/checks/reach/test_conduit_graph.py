"""The graph of zones and conduits, against textbook graphs and against every path of small random plants."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from checks.plantfile.plant import OUTSIDE, Plant
from checks.reach import conduit_graph
from tests.checks.reach.zoned import plants, zoned


def _of(graph: Any) -> Plant:
    """A plant with a zone for each node of an undirected graph, and a conduit for each edge."""
    conduits = {f"C{at}": {"between": [f"N{one}", f"N{other}"]} for at, (one, other) in enumerate(graph.edges())}
    return zoned([f"N{node}" for node in graph], conduits)


def _walked(plant: Plant, foothold: str, closed: frozenset[str] = frozenset()) -> dict[str, int]:
    """The places that paths of conduits reach and the length of the shortest, by trying every path that repeats no place."""
    shortest = {foothold: 0}

    def walk(place: str, passed: tuple[str, ...]) -> None:
        for key, conduit in plant.conduits.items():
            if key in closed or conduit.flow == "none" or place not in conduit.between:
                continue
            end = next(other for other in conduit.between if other != place)
            if conduit.one_way_to in (None, end) and end not in passed:
                shortest[end] = min(shortest.get(end, 99), len(passed))
                walk(end, (*passed, end))

    walk(foothold, (foothold,))
    return {place: distance for place, distance in shortest.items() if place != OUTSIDE}


def test_the_distances_of_the_karate_club() -> None:
    """Zachary 1977, the graph that networkx carries; its diameter is 5 (from memory), and node 16 lies at the edge."""
    graph = nx.karate_club_graph()
    ways = conduit_graph.ways(_of(graph), "N16")
    expected = nx.single_source_shortest_path_length(graph, 16)
    assert {zone: len(conduits) for zone, conduits in ways.items()} == {
        f"N{node}": far for node, far in expected.items()
    }
    assert max(map(len, ways.values())) == 5, "the diameter of the graph"


def test_from_any_zone_of_the_petersen_graph_two_conduits_reach_all_and_three_must_be_closed() -> None:
    """The Petersen graph has diameter 2 and is three-edge-connected. Source: textbooks of graph theory, from memory."""
    plant = _of(nx.petersen_graph())
    for zone in plant.zones:
        assert sorted(map(len, conduit_graph.ways(plant, zone).values())) == [0, 1, 1, 1, 2, 2, 2, 2, 2, 2]
    assert len(conduit_graph.separation(plant, "N0", "N7")) == 3


def test_the_bridge_of_a_barbell_separates_its_two_halves() -> None:
    """Two complete graphs of four nodes with one edge between them (nodes 3 and 4): that edge is the only bridge."""
    plant = _of(nx.barbell_graph(4, 0))
    (bridge,) = conduit_graph.separation(plant, "N0", "N7")
    assert plant.conduits[bridge].between == ["N3", "N4"]
    assert dict(conduit_graph.single_closings(plant, "N0", [bridge])) == {bridge: {"N0", "N1", "N2", "N3"}}


@pytest.mark.parametrize(
    ("conduit", "directions"),
    [
        ({"flow": "both ways"}, {("a", "b"), ("b", "a")}),
        ({"flow": "read"}, {("a", "b"), ("b", "a")}),
        ({"flow": ""}, {("a", "b"), ("b", "a")}),
        ({"flow": " None "}, set()),
        ({"flow": "read", "one_way_to": "b"}, {("a", "b")}),
        ({"flow": "none", "one_way_to": "b"}, set()),
    ],
)
def test_only_a_closed_conduit_and_a_data_diode_stop_a_compromise(
    conduit: dict[str, str], directions: set[tuple[str, str]]
) -> None:
    plant = zoned(["a", "b"], {"C": {"between": ["a", "b"], **conduit}})
    assert set(conduit_graph.directions(plant.conduits["C"])) == directions


@given(plants(), st.data())
def test_reached_is_what_some_path_of_conduits_reaches(plant: Plant, data: st.DataObject) -> None:
    foothold = data.draw(st.sampled_from([*plant.zones, OUTSIDE]))
    ways, expected = conduit_graph.ways(plant, foothold), _walked(plant, foothold)
    assert {zone: len(conduits) for zone, conduits in ways.items()} == expected
    assert [len(conduits) for conduits in ways.values()] == sorted(map(len, ways.values())), "the nearest first"


@given(plants(), st.data())
def test_each_way_leads_from_the_foothold_to_its_zone(plant: Plant, data: st.DataObject) -> None:
    foothold = data.draw(st.sampled_from([*plant.zones, OUTSIDE]))
    for zone, conduits in conduit_graph.ways(plant, foothold).items():
        place = foothold
        for key in conduits:
            place = next(end for start, end in conduit_graph.directions(plant.conduits[key]) if start == place)
        assert place == zone


@given(plants(), st.data())
def test_closing_a_conduit_never_enlarges_the_reach(plant: Plant, data: st.DataObject) -> None:
    foothold = data.draw(st.sampled_from([*plant.zones, OUTSIDE]))
    reached = conduit_graph.ways(plant, foothold).keys()
    closings = list(conduit_graph.single_closings(plant, foothold, list(plant.conduits)))
    assert [conduit for conduit, _ in closings] == list(plant.conduits)
    for conduit, left in closings:
        assert left <= reached
        assert left == _walked(plant, foothold, frozenset({conduit})).keys()


@given(plants(), st.data())
def test_a_separation_is_a_smallest_set_that_keeps_the_zone_out_of_reach(plant: Plant, data: st.DataObject) -> None:
    foothold = data.draw(st.sampled_from([*plant.zones, OUTSIDE]))
    for zone in plant.zones:
        if zone == foothold:
            continue
        found = conduit_graph.separation(plant, foothold, zone)
        assert zone not in _walked(plant, foothold, frozenset(found))
        fewer = combinations(plant.conduits, len(found) - 1) if found else ()
        assert all(zone in _walked(plant, foothold, frozenset(keys)) for keys in fewer)
