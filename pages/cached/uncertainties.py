"""The uncertainty of functions, by function, as the results stand."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import streamlit as st

from checks.analysis import uncertainty
from checks.analysis.uncertainty import Uncertainty
from checks.assessment.assessment import Assessment
from checks.state.live import Live, State
from pages.cached import database, later


@st.cache_resource(max_entries=512, show_spinner=False)
def _uncertain(at: str, function: str, _assessment: Assessment) -> Uncertainty | None:
    return uncertainty.of_function(_assessment, function)


def uncertain(follower: Live, current: State, function: str) -> Uncertainty | None:
    """Uncertainty of a function until something is stored; it follows from results alone, which all may see."""
    return _uncertain(database.moment(follower, current), function, current.assessment)


def asked(follower: Live, current: State, function: str) -> tuple[str, Callable[[], Uncertainty | None]]:
    """Key and computation, for later. An answer that leaves results and ranges as they are leaves this too."""
    result = current.assessment.function(function)
    ranges = [(group.betas, group.beta_band) for group in result.groups]
    key = f"band {database.data(follower, current)} {function} {result.cases} {ranges}"
    return key, lambda: uncertain(follower, current, function)


def bands(follower: Live, current: State, functions: Sequence[str]) -> dict[str, Uncertainty]:
    """Uncertainty of functions by id, of those that have an uncertain input; none while the program starts."""
    if later.warming():
        return {}
    found = {function: uncertain(follower, current, function) for function in functions}
    return {function: band for function, band in found.items() if band is not None}
