"""What a compromise reaches from a foothold."""

from __future__ import annotations

import streamlit as st

from checks.plantfile.plant import Plant
from checks.reach import footholds
from checks.reach.footholds import Foothold
from checks.state.live import Live, State
from pages.cached import database


@st.cache_resource(max_entries=64, show_spinner=False)
def _foothold(at: str, foothold: str, _plant: Plant) -> Foothold:
    return footholds.from_foothold(_plant, foothold)


def from_foothold(follower: Live, current: State, foothold: str) -> Foothold:
    """What a compromise reaches from a foothold: it follows from the plant data alone, which all who see it see alike."""
    return _foothold(database.data(follower, current), foothold, current.plant)
