"""The plant that the address names, and its state as the person at this browser sees it."""

from __future__ import annotations

from checks.access.roles import Person
from checks.recording import plants
from checks.recording.plants import ListedPlant
from checks.state.live import Live, State
from pages.cached import database, present_state
from pages.ui import state


class NoPlant(LookupError):
    """The store has no plant but archived ones."""


def _listed() -> ListedPlant:
    """The plant of the address, else the last one shown here or the one to land on, which the address then gets.

    An address of an earlier release has its number alone. Raises Gone and NoPlant.
    """
    asked, known = state.at("plant"), database.listed()
    by_address = {str(plant.key): plant for plant in known} | {plant.address: plant for plant in known}
    if asked is not None and asked not in by_address:
        raise state.Gone("plant", asked)
    last: ListedPlant | None = state.get("plant shown")
    plant = by_address.get(asked or (last.address if last else "")) or plants.landing(known)
    if plant is None:
        raise NoPlant
    state.put("plant shown", plant)
    if asked != plant.address:
        state.move(plant=plant.address)
    return plant


def present(person: Person) -> tuple[ListedPlant, Live, State]:
    """The plant of the address, and its present state as far as this person may see it. Raises Gone and NoPlant."""
    plant = _listed()
    return plant, *present_state.seen(plant.key, person)
