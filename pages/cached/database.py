"""The store, the follower of each plant, and the keys under which results are kept."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import Person
from checks.journal.store import Store
from checks.recording import plants
from checks.recording.plants import ListedPlant
from checks.state.live import Live, State


@st.cache_resource(show_spinner="Opening the store …")
def store() -> Store:
    """The store."""
    return Store()


@st.cache_resource(show_spinner=False)
def live(plant: int) -> Live:
    """The follower of one plant."""
    return Live(store(), plant)


def listed() -> list[ListedPlant]:
    """Plants in the store, archived ones too."""
    return plants.listed(store())


def data(follower: Live, current: State) -> str:
    """Cache key of what depends on plant data alone."""
    return f"{follower.store.engine.url} {follower.key} {current.version.data}"


def moment(follower: Live, current: State) -> str:
    """Cache key of what results depend on: database, plant, latest events, and the day, as evidence expires.

    One text, because Streamlit hashes it much faster than its parts.
    """
    return f"{follower.store.engine.url} {follower.key} {current.version} {current.day}"


def rights(person: Person) -> str:
    """Cache key of the rights of a person, as one text."""
    roles, systems = person.rights
    return f"{sorted(roles)} {None if systems is None else sorted(systems)}"
