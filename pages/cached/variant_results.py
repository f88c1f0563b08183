"""A function in a variant, and what the second method says of it there."""

from __future__ import annotations

from dataclasses import replace

import streamlit as st

from checks.analysis.beside_result import Beside
from checks.assessment.assessment import Assessment
from checks.state.live import Live, State
from checks.variants import variant as variants_of
from checks.variants.variant import Outcome, Variant
from pages.cached import database, later


@st.cache_resource(max_entries=64, show_spinner=False)
def _outcome(at: str, function: str, cells: str, _assessment: Assessment, _variant: Variant) -> Outcome:
    return variants_of.outcome(_assessment, function, _variant)


def _cells(variant: Variant) -> str:
    return str({group: dict(row) for group, row in variant.cells.items()})


def outcome(follower: Live, current: State, function: str, variant: Variant) -> Outcome:
    """A function in a variant, calculated once for the same cells until something is stored."""
    found = _outcome(database.moment(follower, current), function, _cells(variant), current.assessment, variant)
    return replace(found, variant=variant)


def beside(follower: Live, current: State, function: str, variant: Variant) -> dict[str, Beside] | None:
    """What the second method says of a function in a variant, by its id; None while it is being computed."""
    key = f"{database.moment(follower, current)} {function} {_cells(variant)}"
    future = later.awaited(key, lambda: variants_of.beside(current.assessment, function, variant))
    return {function: future.result()} if future.done() else None
