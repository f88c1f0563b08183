"""What the second method says of functions, in full at once or in short later."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import streamlit as st

from checks.analysis import beside_result
from checks.analysis.beside_result import Beside
from checks.analysis.second_opinion import SecondOpinion, second_opinion
from checks.assessment.assessment import Assessment
from checks.state.live import Live, State
from pages.cached import database, later


@st.cache_resource(max_entries=64, show_spinner=False)
def _second(at: str, function: str, _assessment: Assessment) -> SecondOpinion | None:
    return second_opinion(_assessment, function)


def second(follower: Live, current: State, function: str) -> SecondOpinion | None:
    """A function by the second method; results of functions are the same for all who see them."""
    return _second(database.moment(follower, current), function, current.assessment)


def beside(follower: Live, current: State, functions: Sequence[str]) -> dict[str, Beside]:
    """What the second method says of functions, by id: those that are computed. None while the program starts."""
    if later.warming():
        return {}
    found = {function: later.awaited(*asked(follower, current, function)) for function in functions}
    return {function: future.result() for function, future in found.items() if future.done()}


def asked(follower: Live, current: State, function: str) -> tuple[str, Callable[[], Beside]]:
    """Key and computation. An answer that leaves the results of a function as they are leaves this too."""
    result = current.assessment.function(function)
    betas = [group.betas for group in result.groups]
    key = f"{database.data(follower, current)} {function} {result.cases} {betas}"
    return key, lambda: beside_result.of_function(current.assessment, function)
