"""One compromise defeats it: what a number cannot show of cyber exposure, said as data.

A compromised zone defeats each function with a *programmable* group in it: to rewrite the devices of the group is to defeat
every channel at once. A group that is not programmable is not reached.
"""

from __future__ import annotations

from dataclasses import dataclass

from checks.assessment.assessment import Assessment


@dataclass(frozen=True, slots=True)
class Way:
    """One zone whose compromise defeats a function.

    ``gaps`` counts the open gaps of the zone, None where nobody reviewed it. ``conduits`` lead into it, each with its other
    end. ``groups`` are the programmable groups of the function in the zone.
    """

    zone: str
    gaps: int | None
    conduits: tuple[tuple[str, str], ...]
    groups: tuple[str, ...]


def ways(assessment: Assessment, function: str) -> tuple[Way, ...]:
    """The zones in which a programmable group of a function lies, each with its gaps and the conduits that lead in."""
    plant = assessment.plant
    found: dict[str, list[str]] = {}
    for key in plant.functions[function].groups:
        group = plant.groups[key]
        if group.programmable and group.zone is not None:
            found.setdefault(group.zone, []).append(key)
    return tuple(_way(assessment, zone, tuple(groups)) for zone, groups in found.items())


def _way(assessment: Assessment, zone: str, groups: tuple[str, ...]) -> Way:
    result = assessment.zone(zone)
    conduits = tuple(
        (key, conduit.between[1 - conduit.between.index(zone)])
        for key, conduit in assessment.plant.conduits.items()
        if zone in conduit.between
    )
    return Way(zone, len(result.gaps) if result.reviewed else None, conduits, groups)


def unmoved(assessment: Assessment, function: str) -> tuple[str, ...]:
    """Programmable groups of a function without redundancy: they have no beta, so the scenario does not move their number."""
    plant = assessment.plant
    groups = ((key, plant.groups[key]) for key in plant.functions[function].groups)
    return tuple(key for key, group in groups if group.programmable and not group.voting.redundant)
