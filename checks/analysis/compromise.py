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
    """The zones with a programmable group of a function, each with its gaps and the conduits into it.

    Of alternatives all must lie in the zone, else the others are left.
    """
    plant = assessment.plant
    groups_by_zone: dict[str, list[str]] = {}
    for key in plant.functions[function].group_ids:
        group = plant.groups[key]
        if group.programmable and group.zone is not None:
            groups_by_zone.setdefault(group.zone, []).append(key)
    defeated = {zone: plant.functions[function].defeated_by(groups) for zone, groups in groups_by_zone.items()}
    return tuple(_way(assessment, zone, groups) for zone, groups in defeated.items() if groups)


def _way(assessment: Assessment, zone: str, groups: tuple[str, ...]) -> Way:
    result = assessment.zone(zone)
    conduits = tuple(
        (key, conduit.between[1 - conduit.between.index(zone)])
        for key, conduit in assessment.plant.conduits.items()
        if zone in conduit.between
    )
    return Way(zone, len(result.gaps) if result.reviewed else None, conduits, groups)


def unmoved(assessment: Assessment, function: str) -> tuple[str, ...]:
    """Programmable groups of a function without a beta: the scenario does not change their result."""
    groups = assessment.function(function).groups
    return tuple(group.id for group in groups if assessment.plant.groups[group.id].programmable and group.betas is None)
