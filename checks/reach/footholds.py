"""From one foothold, a zone or what lies outside: the zones and functions that a compromise reaches, and what cuts it off.

A compromise of a zone defeats all channels of the programmable groups in it. A function falls if one of its groups can no
longer do its task, of alternatives all of them, wherever they lie.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from checks.plantfile.plant import OUTSIDE, Plant
from checks.reach import conduit_graph
from checks.reach.compromise import ZoneSets, zone_sets
from checks.reach.conduit_graph import Ways


@dataclass(frozen=True, slots=True)
class ReachedZone:
    """A zone reached, the conduits of one shortest way to it, and the programmable groups in it."""

    zone: str
    conduits: tuple[str, ...]
    groups: tuple[str, ...]

    @property
    def distance(self) -> int:
        """Conduits that a compromise passes to get there; 0 for the foothold itself."""
        return len(self.conduits)


@dataclass(frozen=True, slots=True)
class FallenFunction:
    """A function that falls, after how many conduits, and the zones and groups by which it falls.

    ``demand_distance`` says after how many conduits the control layer that makes the demand is reached; None where it is
    not reached or not known.
    """

    function: str
    distance: int
    zones: tuple[str, ...]
    groups: tuple[str, ...]
    demand_distance: int | None


@dataclass(frozen=True, slots=True)
class Closing:
    """One conduit closed: the zones and functions that a compromise still reaches."""

    conduit: str
    zones_left: tuple[str, ...]
    functions_left: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Separation:
    """A safety-related zone that no single closing keeps out of reach, and one smallest set of conduits that does."""

    zone: str
    conduits: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Foothold:
    """What a compromise reaches from one zone or from ``outside``.

    ``zones`` begin with the nearest, ``closings`` with what leaves the fewest functions. A conduit that is not among the
    closings changes nothing if it alone is closed.
    """

    id: str
    zones: tuple[ReachedZone, ...]
    functions: tuple[FallenFunction, ...]
    closings: tuple[Closing, ...]
    separations: tuple[Separation, ...]

    @property
    def others(self) -> tuple[ReachedZone, ...]:
        """The zones reached beyond the foothold."""
        return tuple(zone for zone in self.zones if zone.zone != self.id)

    @property
    def best_closings(self) -> tuple[Closing, ...]:
        """The closings that leave the fewest functions, all of a tie; none where no single closing saves a function."""
        if not self.closings or len(self.closings[0].functions_left) == len(self.functions):
            return ()
        fewest = len(self.closings[0].functions_left)
        return tuple(closing for closing in self.closings if len(closing.functions_left) == fewest)


def footholds(plant: Plant) -> tuple[str, ...]:
    """Where a compromise may begin: ``outside`` if a conduit ends there, then every zone."""
    outside = any(OUTSIDE in conduit.between for conduit in plant.conduits.values())
    return (*((OUTSIDE,) if outside else ()), *plant.zones)


def from_foothold(plant: Plant, foothold: str) -> Foothold:
    """What a compromise of a zone, or of ``outside``, reaches in a plant."""
    ways = conduit_graph.ways(plant, foothold)
    inside: dict[str, list[str]] = {zone: [] for zone in ways}
    for key, group in plant.groups.items():
        if group.programmable and group.zone in inside:
            inside[group.zone].append(key)
    sets = {key: zone_sets(plant, key) for key in plant.functions}
    functions = sorted(_fallen(plant, ways, sets), key=lambda fallen: fallen.distance)
    sets_of_fallen = {fallen.function: sets[fallen.function] for fallen in functions}
    closings = tuple(sorted(_closings(plant, foothold, ways, sets_of_fallen), key=_rank))
    return Foothold(
        id=foothold,
        zones=tuple(ReachedZone(zone, conduits, tuple(inside[zone])) for zone, conduits in ways.items()),
        functions=tuple(functions),
        closings=closings,
        separations=tuple(_separations(plant, foothold, ways, closings)),
    )


def _fallen(plant: Plant, ways: Ways, sets: Mapping[str, ZoneSets]) -> Iterator[FallenFunction]:
    for key, function in plant.functions.items():
        defeating = {zones: groups for zones, groups in sets[key].items() if zones <= ways.keys()}
        if not defeating:
            continue
        zones = set().union(*defeating)
        demand = ways.get(function.demand_zone or "")
        yield FallenFunction(
            function=key,
            distance=min(max(len(ways[zone]) for zone in together) for together in defeating),
            zones=tuple(zone for zone in ways if zone in zones),
            groups=tuple(group for groups in defeating.values() for group in groups),
            demand_distance=None if demand is None else len(demand),
        )


def _closings(plant: Plant, foothold: str, ways: Ways, sets: Mapping[str, ZoneSets]) -> Iterator[Closing]:
    """Each conduit of a shortest way closed alone. Any other one leaves every one of these ways, and so the reach, as it is."""
    used = {conduit for conduits in ways.values() for conduit in conduits}
    by_zone: dict[str, list[str]] = {zone: [] for zone in plant.zones}
    for key, defeating in sets.items():
        for zone in set().union(*defeating):
            by_zone[zone].append(key)
    tried = [conduit for conduit in plant.conduits if conduit in used]
    for conduit, left in conduit_graph.single_closings(plant, foothold, tried):
        lost = [zone for zone in ways if zone not in left]
        concerned = {key for zone in lost for key in by_zone[zone]}
        saved = {key for key in concerned if not any(zones <= left for zones in sets[key])}
        if lost:
            still = tuple(key for key in sets if key not in saved)
            yield Closing(conduit, tuple(zone for zone in ways if zone in left), still)


def _rank(closing: Closing) -> tuple[int, int]:
    return len(closing.functions_left), len(closing.zones_left)


def _separations(plant: Plant, foothold: str, ways: Ways, closings: tuple[Closing, ...]) -> Iterator[Separation]:
    for zone in ways:
        alone = any(zone not in closing.zones_left for closing in closings)
        if plant.zones[zone].safety_related and zone != foothold and not alone:
            yield Separation(zone, conduit_graph.separation(plant, foothold, zone))
