"""Zones of which one compromise defeats a function: the part of cyber exposure that no number shows.

A compromised zone defeats each function with a *programmable* group in it: reprogramming the devices of the group defeats
all its channels at once. A group that is not programmable is not reached.
"""

from __future__ import annotations

from dataclasses import dataclass

from checks.assessment.assessment import Assessment


@dataclass(frozen=True, slots=True)
class Way:
    """One zone whose compromise defeats a function.

    ``gaps`` counts the open gaps of the zone, None where nobody reviewed it. ``conduits`` are those into the zone, each with
    its other end. ``groups`` are the programmable groups of the function in the zone.
    """

    zone: str
    gaps: int | None
    conduits: tuple[tuple[str, str], ...]
    groups: tuple[str, ...]


def ways(assessment: Assessment, function: str) -> tuple[Way, ...]:
    """The zones with a programmable group of a function, each with its gaps and the conduits into it."""
    plant = assessment.plant
    groups_by_zone: dict[str, list[str]] = {}
    for key in plant.functions[function].groups:
        group = plant.groups[key]
        if group.programmable and group.zone is not None:
            groups_by_zone.setdefault(group.zone, []).append(key)
    return tuple(_way(assessment, zone, tuple(groups)) for zone, groups in groups_by_zone.items())


def _way(assessment: Assessment, zone: str, groups: tuple[str, ...]) -> Way:
    result = assessment.zone(zone)
    conduits = tuple(
        (key, conduit.between[1 - conduit.between.index(zone)])
        for key, conduit in assessment.plant.conduits.items()
        if zone in conduit.between
    )
    return Way(zone, len(result.gaps) if result.reviewed else None, conduits, groups)


def unmoved(assessment: Assessment, function: str) -> tuple[str, ...]:
    """Programmable groups of a function without redundancy: no beta, so the scenario does not change their result."""
    plant = assessment.plant
    groups = ((key, plant.groups[key]) for key in plant.functions[function].groups)
    return tuple(key for key, group in groups if group.programmable and not group.voting.redundant)
