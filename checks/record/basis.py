"""What the assessment of one safety system rests on, cut out of the plant so that it can be fixed and computed again.

A basis holds the system, its functions, groups, devices and zones, and every answer that speaks for them. Zones at the
far end of a conduit and other systems that share a group stand in it by name only. Which systems share a group, and
which functions a compromise of a zone reaches beyond this system, are facts of the whole plant and stand beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from typing import Any

from checks.answers import Answers
from checks.assess import Assessment, Links
from checks.bank import EDITIONS, FOLDER
from checks.outcome import outcome
from checks.plant import Plant, System, Zone
from checks.record.journal import canonical


class NoSuchSystem(LookupError):
    """A safety system that the plant does not have."""

    def __init__(self, system: str, known: list[str]) -> None:
        super().__init__(f"{system} is no safety system of this plant; it has {', '.join(known) or 'none'}")


@dataclass(frozen=True, slots=True)
class Scope:
    """What belongs to one safety system, and the addressees whose answers speak for it."""

    system: str
    functions: tuple[str, ...]
    groups: tuple[str, ...]
    zones: tuple[str, ...]
    sharing: tuple[str, ...]

    @property
    def addressees(self) -> frozenset[str]:
        """``plant``, the system, systems that share a group with it, its groups and zones."""
        systems = (f"system:{key}" for key in (self.system, *self.sharing))
        groups, zones = (f"group:{key}" for key in self.groups), (f"zone:{key}" for key in self.zones)
        return frozenset(("plant", *systems, *groups, *zones))


def scope(plant: Plant, links: Links, system: str) -> Scope:
    """What belongs to a safety system of a plant; raises NoSuchSystem."""
    if system not in plant.systems:
        raise NoSuchSystem(system, list(plant.systems))
    functions = tuple(plant.systems[system].functions)
    groups = tuple(dict.fromkeys(key for name in functions for key in plant.functions[name].groups))
    zones = tuple(dict.fromkeys(zone for key in groups if (zone := plant.groups[key].zone) is not None))
    sharing = dict.fromkeys(other for key in groups for other in links.systems_of[key] if other != system)
    return Scope(system, functions, groups, zones, tuple(sharing))


def facts(assessment: Assessment, system: str) -> dict[str, Any]:
    """The basis of a system as JSON data: ``system``, ``plant`` (with answers), ``shared_by``, ``reach``, ``banks``."""
    plant, links = assessment.plant, assessment.links
    held = scope(plant, links, system)
    return {
        "system": system,
        "plant": _cut(assessment, held).model_dump(mode="json", exclude_defaults=True),
        "shared_by": {key: list(links.systems_of[key]) for key in held.groups},
        "reach": {key: list(links.reach(key)) for key in held.zones},
        "banks": banks_in_use(),
    }


def _cut(assessment: Assessment, held: Scope) -> Plant:
    plant = assessment.plant
    groups = {key: plant.groups[key] for key in held.groups}
    conduits = {key: one for key, one in plant.conduits.items() if set(one.between) & set(held.zones)}
    ends = {key for one in conduits.values() for key in one.between}
    used = {name for one in groups.values() for channel in one.channels for name in channel}
    others = {key: System(name=plant.systems[key].name) for key in held.sharing}
    return plant.model_copy(
        update={
            "devices": {key: one for key, one in plant.devices.items() if key in used},
            "zones": {
                key: one if key in held.zones else Zone(name=one.name)
                for key, one in plant.zones.items()
                if key in held.zones or key in ends
            },
            "conduits": conduits,
            "groups": groups,
            "systems": {held.system: plant.systems[held.system], **others},
            "functions": {key: plant.functions[key] for key in held.functions},
            "answers": sorted(
                (one for one in assessment.answers if one.of in held.addressees),
                key=lambda one: (one.of, one.question),
            ),
        }
    )


def assessment_of(held: Mapping[str, Any]) -> Assessment:
    """The assessment of a basis. Every figure of the system is the same as in the whole plant."""
    plant = Plant.model_validate(held["plant"])
    links = Links(plant)
    links.systems_of.update({key: tuple(systems) for key, systems in held["shared_by"].items()})
    links.reached.update({key: tuple(names) for key, names in held["reach"].items()})
    return Assessment(plant, Answers(plant.answers), links=links)


def results(assessment: Assessment, system: str) -> dict[str, Any]:
    """Every result of a system, as ``python -m checks score --json`` prints it for the plant."""
    held, whole = scope(assessment.plant, assessment.links, system), outcome(assessment)
    for block, keys in (("groups", held.groups), ("functions", held.functions), ("zones", held.zones)):
        whole[block] = {key: whole[block][key] for key in keys}
    return whole


@cache
def banks_in_use() -> dict[str, dict[str, str]]:
    """Edition and SHA-256 of each question bank."""
    return {bank: {"edition": edition, "sha256": _sum_of(bank, edition)} for bank, edition in sorted(EDITIONS.items())}


def _sum_of(bank: str, edition: str) -> str:
    found = sha256()
    for path in sorted((FOLDER / bank / edition).glob("*.yaml")):
        found.update(path.read_bytes())
    return found.hexdigest()


def hash_of(body: Mapping[str, Any]) -> str:
    """SHA-256 of the canonical form of JSON data, 64 hexadecimal digits."""
    return sha256(canonical(dict(body))).hexdigest()
