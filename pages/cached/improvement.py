"""What to fix first, as far as a reader sees the answers."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import Person
from checks.assessment.verdicts import Case
from checks.improvement import advice
from checks.improvement.advice import Advice
from checks.state.live import Live, State
from pages.cached import database


@st.cache_resource(max_entries=32, show_spinner="Looking for the cheapest set …")
def _advice(at: str, rights: str, functions: tuple[str, ...], case: Case, _current: State) -> Advice:
    return advice.of_functions(_current, functions, case)


def advised(follower: Live, current: State, person: Person, functions: tuple[str, ...], case: Case) -> Advice:
    """What to fix first for some functions, as far as the reader sees the answers."""
    return _advice(database.moment(follower, current), database.rights(person), functions, case, current)
