"""The store and what is computed from it, shared by all browsers: the only user of Streamlit's caches."""

from __future__ import annotations

import gc

import streamlit as st

from checks.live import Live, State
from checks.store.store import Store
from demo import load
from pages.shared import state


@st.cache_resource
def settle() -> bool:
    """Take what was imported out of the garbage collector's sight: Streamlit collects after every run."""
    gc.collect()
    gc.freeze()
    return True


@st.cache_resource(show_spinner="Opening the store …")
def store() -> Store:
    """The store; an empty one gets the invented demo plant."""
    opened = Store()
    if not opened.plants():
        load.into(opened)
    return opened


@st.cache_resource(show_spinner=False)
def live(plant: int) -> Live:
    """The follower of one plant."""
    return Live(store(), plant)


def plants() -> dict[int, str]:
    """Plants in the store by number."""
    return store().plants()


def present() -> tuple[Live, State]:
    """The plant that this browser looks at, and what holds of it now."""
    keys = [str(key) for key in plants()]
    follower = live(int(state.chosen("plant", keys)))
    return follower, follower.state()
