"""The present state of a plant, as far as a person may see it, and what is computed once per change of its data."""

from __future__ import annotations

import gc
import sys

import streamlit as st

from checks.access.roles import Person
from checks.assessment.cautions import remarks
from checks.state.live import Live, State
from checks.visibility import redaction
from pages.cached import database


@st.cache_resource(max_entries=8, show_spinner="Computing the plant …")
def _settled(at: str, _state: State) -> list[str]:
    """Compute a plant once per change of its data and return the remarks on it."""
    _state.assessment.functions()
    _freeze()
    return remarks(_state.plant)


def _freeze() -> None:
    """Take what exists out of garbage collection, until it is freed by other means.

    Streamlit collects garbage after every script run, which with a large plant, or with the modules of scipy, would take longer
    than the run.
    """
    gc.collect()
    gc.freeze()


@st.cache_resource(max_entries=1, show_spinner=False)
def _loaded(modules: int) -> None:
    """Freeze once for each number of modules: scipy and networkx are imported where they are first used."""
    _freeze()


@st.cache_resource(max_entries=16, show_spinner=False)
def _by_rights(at: str, rights: str, _state: State, _person: Person) -> State:
    """The state as people with these rights may see it. It is shared by them all, so it holds nothing private to one."""
    return redaction.by_rights(_state, _person)


def _seen(follower: Live, current: State, person: Person) -> State:
    if redaction.sees_all(current, person):
        return current
    shared = _by_rights(database.moment(follower, current), database.rights(person), current, person)
    return redaction.with_own(shared, current, person)


def seen(plant: int, person: Person) -> tuple[Live, State]:
    """The follower of a plant, and its present state as far as this person may see it."""
    follower = database.live(plant)
    current = follower.state()
    remarks_on(follower, current)
    _loaded(len(sys.modules))
    return follower, _seen(follower, current, person)


def remarks_on(follower: Live, current: State) -> list[str]:
    """Cautions about the data of this plant, whose results are then computed."""
    return _settled(database.data(follower, current), current)
