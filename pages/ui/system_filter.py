"""The filter of a screen by safety system, kept in the address as ``filter``."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import streamlit as st

from checks.revision import basis
from checks.revision.basis import Scope
from checks.state.live import State
from pages.presentation.wording import titled
from pages.ui import places, state

ALL = "-"
"""Stands for all systems; no id of a system begins so."""


def chosen(current: State, place: Any = st, shows: Callable[[Scope], bool] = lambda _: True) -> Scope | None:
    """Draw the filter at a place; returns what belongs to the chosen system, or None for all.

    A system is not kept where ``shows`` says that it does not hold what the address names.
    """
    names = {ALL: "All systems"} | {key: titled(key, system.name) for key, system in current.systems.items()}
    if len(names) < 3:
        return None
    named = state.at("filter")
    scope = basis.scope(current.plant, current.assessment.links, named) if named in current.systems else None
    if scope is not None and not shows(scope):
        scope = None
    value = ALL if scope is None else scope.system
    places.chooser("Filter by system", "filter_system", names, value, follows=("filter",), at=place)
    return scope
