"""Addressees of a team: those its members answer for and whose answers they see."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from checks.access.roles import NotAllowed, Person
from checks.assessment.links import Links
from checks.plantfile.plant import Plant
from checks.revision import basis
from checks.state.live import State


def own(plant: Plant, links: Links, systems: Collection[str]) -> frozenset[str]:
    """Addressees of some safety systems: the plant, the systems, their groups and zones. Unknown systems have none.

    A group or zone shared by several systems belongs to each of them.
    """
    addressees: set[str] = set()
    for system in plant.systems:
        if system in systems:
            scope = basis.scope(plant, links, system)
            addressees |= scope.addressees - {f"system:{key}" for key in scope.sharing}
    return frozenset(addressees)


def require(state: State, person: Person, permission: str, of: Iterable[str]) -> None:
    """Raise NotAllowed if the roles of a person lack a permission, or lack it for one of these addressees.

    Questions on the plant as a whole count for every system: the team of one system does not answer them.
    """
    person.require(permission)
    if not person.may_everywhere(permission):
        beyond = set(of) - own(state.plant, state.assessment.links, person.systems or ()) | {"plant"}.intersection(of)
        if beyond:
            raise NotAllowed(permission, person, beyond)
