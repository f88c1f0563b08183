"""What belongs to the systems of a team: of whom its members answer, and whose answers they see."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from checks.access.roles import NotAllowed, Person
from checks.assessment.assessment import Links
from checks.plantfile.plant import Plant
from checks.revision import basis
from checks.state.live import State


def own(plant: Plant, links: Links, systems: Collection[str]) -> frozenset[str]:
    """Addressees of some safety systems: the plant, the systems, their groups and zones. Unknown systems have none.

    What several systems share belongs to each of them.
    """
    found: set[str] = set()
    for system in plant.systems:
        if system in systems:
            held = basis.scope(plant, links, system)
            found |= held.addressees - {f"system:{key}" for key in held.sharing}
    return frozenset(found)


def must(now: State, person: Person, deed: str, of: Iterable[str]) -> None:
    """Raise NotAllowed where the roles of a person do not cover a deed, or not for all these addressees.

    What is asked of the plant as a whole counts for every system: the team of one does not answer it.
    """
    person.must(deed)
    if not person.may_everywhere(deed):
        beyond = set(of) - own(now.plant, now.assessment.links, person.systems or ()) | {"plant"}.intersection(of)
        if beyond:
            raise NotAllowed(deed, person, beyond)
