"""Basis of a revision: all facts behind the assessment of one safety system, enough to compute it again.

A basis contains the system, its functions, groups, devices and zones, and all answers that apply to them. Zones at the
far end of a conduit or of a demand, and other systems that share a group, are included by name only. Two facts of the whole plant are
stored with it: which systems share a group, and which functions a compromise of a zone reaches.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from checks.assessment import editions
from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.assessment.links import Links
from checks.plantfile.plant import Plant, System, Zone
from checks.questions.bank import UnknownEdition
from checks.revision import fingerprint, results_reader, stored_results
from checks.text.canonical import canonical
from scoring.methods.registry import UnknownMethod

FORMAT = 2
"""Format of a new revision. Format 1, of releases 1 and 2, named no editions of methods and stored fewer results."""


class NoSuchSystem(LookupError):
    """A safety system that the plant does not have."""

    def __init__(self, system: str, known: list[str]) -> None:
        super().__init__(f"{system} is no safety system of this plant; it has {', '.join(known) or 'none'}")


@dataclass(frozen=True, slots=True)
class Scope:
    """What belongs to one safety system, and the addressees whose answers apply to it."""

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
    groups = tuple(dict.fromkeys(key for name in functions for key in plant.functions[name].group_ids))
    zones = tuple(dict.fromkeys(zone for key in groups if (zone := plant.groups[key].zone) is not None))
    sharing = dict.fromkeys(other for key in groups for other in links.systems_of[key] if other != system)
    return Scope(system, functions, groups, zones, tuple(sharing))


def facts(assessment: Assessment, system: str) -> dict[str, Any]:
    """The basis of a system as JSON data.

    ``system``, ``plant`` (with answers), ``shared_by``, ``reach``, ``methods`` and ``banks`` with their editions, and the
    ``fingerprint`` of what this program computes with them; ``group_methods`` where groups have methods of their own. Raises
    NoSuchSystem.
    """
    plant, links = assessment.plant, assessment.links
    in_scope = scope(plant, links, system)
    used = assessment.editions.within(in_scope.groups)
    return {
        "system": system,
        "plant": _cut(assessment, in_scope).model_dump(mode="json", exclude_defaults=True),
        "shared_by": {key: list(links.systems_of[key]) for key in in_scope.groups},
        "reach": {key: list(links.reach(key)) for key in in_scope.zones},
        "methods": assessment.editions.methods_named(),
        **_group_methods(assessment, in_scope),
        "banks": used.banks_named(),
        "fingerprint": fingerprint.of(used),
    }


def _group_methods(assessment: Assessment, in_scope: Scope) -> dict[str, Any]:
    """Methods of their own of groups, where they differ from those of the plant; nothing where none does."""
    own = assessment.editions.group_methods_named(in_scope.groups)
    return {"group_methods": own} if own else {}


def _cut(assessment: Assessment, in_scope: Scope) -> Plant:
    plant = assessment.plant
    groups = {key: plant.groups[key] for key in in_scope.groups}
    conduits = {key: conduit for key, conduit in plant.conduits.items() if set(conduit.between) & set(in_scope.zones)}
    demands = (plant.functions[key].demand_zone for key in in_scope.functions)
    ends = {key for conduit in conduits.values() for key in conduit.between} | set(filter(None, demands))
    used = {name for group in groups.values() for name in group.devices}
    others = {key: System(name=plant.systems[key].name) for key in in_scope.sharing}
    return plant.model_copy(
        update={
            "devices": {key: device for key, device in plant.devices.items() if key in used},
            "zones": {
                key: zone if key in in_scope.zones else Zone(name=zone.name)
                for key, zone in plant.zones.items()
                if key in in_scope.zones or key in ends
            },
            "conduits": conduits,
            "groups": groups,
            "systems": {in_scope.system: plant.systems[in_scope.system], **others},
            "functions": {key: plant.functions[key] for key in in_scope.functions},
            "answers": sorted(
                (answer for answer in assessment.answers if answer.of in in_scope.addressees),
                key=lambda answer: (answer.of, answer.question),
            ),
        }
    )


def assessment_of(basis: Mapping[str, Any]) -> Assessment:
    """The assessment of a basis, computed with the editions that it names. All figures equal those of the whole plant.

    Raises UnknownMethod and UnknownEdition.
    """
    plant = Plant.model_validate(basis["plant"])
    links = Links(plant)
    links.systems_of.update({key: tuple(systems) for key, systems in basis["shared_by"].items()})
    links.reached.update({key: tuple(names) for key, names in basis["reach"].items()})
    return Assessment(plant, Answers(plant.answers), links=links, editions=editions.of_facts(plant, basis))


def results(assessment: Assessment, system: str) -> Mapping[str, Any]:
    """All results of a system, as a revision stores them; raises NoSuchSystem."""
    in_scope = scope(assessment.plant, assessment.links, system)
    return stored_results.written(
        assessment, groups=in_scope.groups, functions=in_scope.functions, zones=in_scope.zones
    )


class NewerRelease(ValueError):
    """A revision with a format or an edition that this program does not know."""

    def __init__(self, what: str) -> None:
        self.what = what
        super().__init__(what)


def known_editions(body: Mapping[str, Any]) -> None:
    """Raise NewerRelease where a revision names a format, a method or a question bank that this program does not have."""
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
    """Stored figures of a revision that differ from those computed from its facts, each with the difference."""
    return _differences(body, assessment_of(body["facts"]))


def _differences(body: Mapping[str, Any], computed: Assessment) -> list[str]:
    return list(stored_results.apart(body["results"], results(computed, body["facts"]["system"])))


def revision_assessment(body: Mapping[str, Any]) -> Assessment:
    """The assessment of a revision: its facts with its stored results."""
    computed = assessment_of(body["facts"])
    fits = not _differences(body, computed)
    known = results_reader.known(body["results"], computed, fits=fits)
    return Assessment(
        computed.plant,
        computed.answers,
        links=computed.links,
        editions=computed.editions,
        known=known,
        reproduced=fits,
    )


def fingerprint_matches(facts: Mapping[str, Any]) -> bool:
    """Whether this program computes the same with the editions of a revision as the program that wrote it."""
    used = editions.of_facts(Plant.model_validate(facts["plant"]), facts)
    stored: str = facts.get("fingerprint") or fingerprint.of_release_2(used)
    return fingerprint.of(used) == stored


def hash_of(body: Mapping[str, Any]) -> str:
    """SHA-256 of the canonical form of JSON data, 64 hexadecimal digits."""
    return sha256(canonical(dict(body))).hexdigest()
