"""Zones and conduits as a directed graph: which zones a compromise reaches, by which conduits, and what keeps it out.

No probability is computed here: a zone is reached or it is not.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from itertools import pairwise
from typing import Any

from checks.plantfile.plant import OUTSIDE, Conduit, Plant

CLOSED = "none"
"""The flow of a conduit that carries nothing."""

DIRECTION = (
    "House rule: a compromise passes a conduit in both directions, whatever its flow says. A read-only setting, a firewall rule "
    "and a check of media are programs or habits, which a compromise can change, and what is read can carry an attack. Only two "
    "things stop it: a conduit whose flow is none, and a data diode, through which nothing comes back. What lies outside the "
    "plant counts as one place."
)

Ways = Mapping[str, tuple[str, ...]]
"""The conduits of one shortest way to each zone reached, the nearest zone first; none to the foothold itself."""


def directions(conduit: Conduit) -> tuple[tuple[str, str], ...]:
    """The directions, from one end to the other, in which a compromise may pass a conduit (``DIRECTION``)."""
    first, other = conduit.between
    if conduit.flow.strip().casefold() == CLOSED:
        return ()
    return tuple(way for way in ((first, other), (other, first)) if conduit.one_way_to in (None, way[1]))


def _edges(plant: Plant, conduit: str) -> list[tuple[str, str, str]]:
    return [(start, end, conduit) for start, end in directions(plant.conduits[conduit])]


def graph(plant: Plant) -> Any:
    """A networkx MultiDiGraph of the zones and ``outside``, one edge with the id of its conduit for each direction."""
    from networkx import MultiDiGraph

    joined = MultiDiGraph()
    joined.add_nodes_from((*plant.zones, OUTSIDE))
    joined.add_edges_from(edge for conduit in plant.conduits for edge in _edges(plant, conduit))
    return joined


def ways(plant: Plant, foothold: str) -> Ways:
    """The zones that a compromise of a zone, or of ``outside``, reaches, each with one shortest way there.

    Of several conduits between the same two zones the first of the plant file is named.
    """
    from networkx import single_source_shortest_path

    joined = graph(plant)
    passed = single_source_shortest_path(joined, foothold)
    return {
        zone: tuple(next(iter(joined[start][end])) for start, end in pairwise(nodes))
        for zone, nodes in passed.items()
        if zone != OUTSIDE
    }


def single_closings(plant: Plant, foothold: str, conduits: Collection[str]) -> Iterator[tuple[str, frozenset[str]]]:
    """Some conduits, each with the zones that a compromise still reaches where it alone is closed, a foothold zone included."""
    from networkx import descendants

    joined = graph(plant)
    for conduit in conduits:
        edges = _edges(plant, conduit)
        joined.remove_edges_from(edges)
        yield conduit, frozenset(descendants(joined, foothold) | {foothold}) - {OUTSIDE}
        joined.add_edges_from(edges)


def separation(plant: Plant, foothold: str, zone: str) -> tuple[str, ...]:
    """One smallest set of conduits to close so that a compromise of the foothold does not reach another zone (minimum cut).

    Empty where it does not reach it anyway.
    """
    from networkx import DiGraph, minimum_cut

    joined, capacities = graph(plant), DiGraph()
    capacities.add_nodes_from(joined)
    for start, end in joined.edges():
        capacities.add_edge(start, end, capacity=joined.number_of_edges(start, end))
    _, (near, _) = minimum_cut(capacities, foothold, zone)
    crossing = {key for start, end, key in joined.edges(keys=True) if start in near and end not in near}
    return tuple(key for key in plant.conduits if key in crossing)
