"""Functions that are not independent of each other, or of the control layer that makes their demand: one zone defeats both."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from checks.plantfile.plant import Plant
from checks.reach.compromise import defeating_zones

PAIRS = (
    "Any two functions of one zone are not independent: one compromise of that zone defeats both. No beta says so, for beta is of "
    "one group."
)
DEMANDS = (
    "Here the zone holds the control layer whose failure makes the demand as well: one compromise can make the demand and defeat "
    "the function that should meet it."
)


@dataclass(frozen=True, slots=True)
class DefeatedTogether:
    """A zone and the functions that its compromise alone defeats, each with the groups by which it falls."""

    zone: str
    functions: Mapping[str, tuple[str, ...]]

    @property
    def pairs(self) -> int:
        """Pairs of functions that are not independent."""
        return len(self.functions) * (len(self.functions) - 1) // 2


@dataclass(frozen=True, slots=True)
class DemandFromSameZone:
    """A function that the compromise of the zone of its demand defeats, and the groups by which it falls."""

    function: str
    zone: str
    groups: tuple[str, ...]


def defeated_together(plant: Plant) -> tuple[DefeatedTogether, ...]:
    """The zones of which each alone defeats two functions or more, in the order of the plant file."""
    by_zone: dict[str, dict[str, tuple[str, ...]]] = {zone: {} for zone in plant.zones}
    for key in plant.functions:
        for zone, groups in defeating_zones(plant, key).items():
            by_zone[zone][key] = groups
    return tuple(DefeatedTogether(zone, functions) for zone, functions in by_zone.items() if len(functions) > 1)


def demands_from_same_zone(plant: Plant) -> tuple[DemandFromSameZone, ...]:
    """The functions that are not independent of the control layer that makes their demand."""
    return tuple(
        DemandFromSameZone(key, zone, groups)
        for key, function in plant.functions.items()
        if function.demand_zone is not None
        for zone, groups in defeating_zones(plant, key).items()
        if zone == function.demand_zone
    )
