"""Zones of which one compromise defeats a function: the part of cyber exposure that no number shows.

A compromised zone defeats each function with a *programmable* group in it: reprogramming the devices of the group defeats
all its channels at once. A group that is not programmable is not reached.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Plant, ids_in
from checks.reach.conduit_graph import directions

ZoneSets = Mapping[frozenset[str], tuple[str, ...]]
"""Zones that together defeat a function, with the groups by which it falls."""


def zone_sets(plant: Plant, function: str) -> ZoneSets:
    """The sets of zones that defeat a function if all zones of one set are compromised, each with the groups by which it falls.

    There is one for each group that is programmable and lies in a zone; alternatives need all of theirs.
    """
    sets: dict[frozenset[str], tuple[str, ...]] = {}
    for entry in plant.functions[function].groups:
        keys = ids_in(entry)
        groups = [plant.groups[key] for key in keys]
        zones = [group.zone if group.programmable else None for group in groups]
        if None not in zones:
            together = frozenset(filter(None, zones))
            sets[together] = sets.get(together, ()) + keys
    return sets


def defeating_zones(plant: Plant, function: str) -> Mapping[str, tuple[str, ...]]:
    """The zones of which each alone defeats a function, with the groups by which it falls."""
    return {zone: groups for zones, groups in zone_sets(plant, function).items() if len(zones) == 1 for zone in zones}


@dataclass(frozen=True, slots=True)
class Way:
    """One zone whose compromise defeats a function.

    ``gaps`` counts the open gaps of the zone, None where nobody reviewed it. ``conduits`` are those by which a
    compromise may come into the zone, each with its other end. ``groups`` are the groups of the function that it defeats.
    """

    zone: str
    gaps: int | None
    conduits: tuple[tuple[str, str], ...]
    groups: tuple[str, ...]


def ways(assessment: Assessment, function: str) -> tuple[Way, ...]:
    """The zones with a programmable group of a function, each with its gaps and the conduits into it.

    Of alternatives all must lie in the zone, else the others are left.
    """
    zones = defeating_zones(assessment.plant, function)
    return tuple(_way(assessment, zone, groups) for zone, groups in zones.items())


def _way(assessment: Assessment, zone: str, groups: tuple[str, ...]) -> Way:
    result = assessment.zone(zone)
    conduits = tuple(
        (key, conduit.between[1 - conduit.between.index(zone)])
        for key, conduit in assessment.plant.conduits.items()
        if any(end == zone for _, end in directions(conduit))
    )
    return Way(zone, len(result.gaps) if result.reviewed else None, conduits, groups)


def unmoved(assessment: Assessment, function: str) -> tuple[str, ...]:
    """Programmable groups of a function without a beta: the scenario does not change their result."""
    groups = assessment.function(function).groups
    return tuple(group.id for group in groups if assessment.plant.groups[group.id].programmable and group.betas is None)
