"""What the assessment of one safety system rests on, cut out of the plant so that it can be fixed and computed again.

A basis holds the system, its functions, groups, devices and zones, and every answer that speaks for them. Zones at the
far end of a conduit and other systems that share a group stand in it by name only. Which systems share a group, and
which functions a compromise of a zone reaches beyond this system, are facts of the whole plant and stand beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from checks.assessment import editions
from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment, Links
from checks.plantfile.plant import Plant, System, Zone
from checks.questions.bank import UnknownEdition
from checks.revision import fingerprint, stored_results
from checks.text.canonical import canonical
from scoring.methods.registry import UnknownMethod

FORMAT = 2
"""Form of a revision that is written. Form 1, of releases 1 and 2, named no editions of methods and stored fewer results."""


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
    """The basis of a system as JSON data.

    ``system``, ``plant`` (with answers), ``shared_by``, ``reach``, ``methods`` and ``banks`` with their editions, and the
    ``fingerprint`` of what this program computes with these.
    """
    plant, links = assessment.plant, assessment.links
    held = scope(plant, links, system)
    return {
        "system": system,
        "plant": _cut(assessment, held).model_dump(mode="json", exclude_defaults=True),
        "shared_by": {key: list(links.systems_of[key]) for key in held.groups},
        "reach": {key: list(links.reach(key)) for key in held.zones},
        "methods": assessment.editions.methods_named(),
        "banks": assessment.editions.banks_named(),
        "fingerprint": fingerprint.of(assessment.editions),
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
    """The assessment of a basis, computed with the editions that it names. Every figure is the same as in the whole plant.

    Raises UnknownMethod and UnknownEdition.
    """
    plant = Plant.model_validate(held["plant"])
    links = Links(plant)
    links.systems_of.update({key: tuple(systems) for key, systems in held["shared_by"].items()})
    links.reached.update({key: tuple(names) for key, names in held["reach"].items()})
    return Assessment(plant, Answers(plant.answers), links=links, editions=editions.of_facts(plant, held))


def results(assessment: Assessment, system: str) -> Mapping[str, Any]:
    """Every result of a system as a revision stores it."""
    held = scope(assessment.plant, assessment.links, system)
    return stored_results.written(assessment, groups=held.groups, functions=held.functions, zones=held.zones)


class NewerRelease(ValueError):
    """A revision of a form or with an edition that this program does not know: nothing of it is guessed."""

    def __init__(self, what: str) -> None:
        self.what = what
        super().__init__(what)


def known_editions(body: Mapping[str, Any]) -> None:
    """Raise NewerRelease where a revision names a form, a method or a question bank that this program does not have."""
    written = body.get("format")
    if isinstance(written, int) and written > FORMAT:
        raise NewerRelease(f"written by a newer release: revision format {written}, this program reads up to {FORMAT}")
    facts = body.get("facts")
    if not isinstance(facts, dict):
        return
    try:
        editions.named_in(facts)
    except (UnknownMethod, UnknownEdition) as error:
        raise NewerRelease(str(error.args[0])) from error


def differences(body: Mapping[str, Any]) -> list[str]:
    """Stored figures of a revision that this program does not compute from its facts, each with by how much."""
    return _differences(body, assessment_of(body["facts"]))


def _differences(body: Mapping[str, Any], computed: Assessment) -> list[str]:
    return list(stored_results.apart(body["results"], results(computed, body["facts"]["system"])))


def past(body: Mapping[str, Any]) -> Assessment:
    """The assessment of a revision: its facts with the results that it stored."""
    computed = assessment_of(body["facts"])
    fits = not _differences(body, computed)
    known = stored_results.known(body["results"], computed, fits=fits)
    return Assessment(
        computed.plant,
        computed.answers,
        links=computed.links,
        editions=computed.editions,
        known=known,
        reproduced=fits,
    )


def same_program(facts: Mapping[str, Any]) -> bool:
    """Whether this program computes with the editions of a revision what the program that wrote it computed."""
    used = editions.of_facts(Plant.model_validate(facts["plant"]), facts)
    stored: str = facts.get("fingerprint") or fingerprint.of_release_2(used)
    return fingerprint.of(used) == stored


def hash_of(body: Mapping[str, Any]) -> str:
    """SHA-256 of the canonical form of JSON data, 64 hexadecimal digits."""
    return sha256(canonical(dict(body))).hexdigest()
