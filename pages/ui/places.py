"""Choosers whose choice is a part of the address, and what is said where the address names what is not there."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import Any

import streamlit as st

from checks.recording import plants
from checks.state.live import Live, State
from pages.presentation.wording import escaped
from pages.ui import state

BLOCKS = {"group": "groups", "zone": "zones", "function": "functions", "system": "systems"}
"""The block of the plant in which a query parameter names an entry."""


def index(options: Collection[str], first: str) -> int:
    """Index at which a chooser starts: that of ``first``, or 0 where it is no longer an option."""
    return list(options).index(first) if first in options else 0


def choose(
    label: str,
    name: str,
    options: dict[str, str],
    *,
    default: str | None = None,
    clear: tuple[str, ...] = (),
    within: str = "",
) -> str:
    """Draw a chooser whose value is kept in the address as ``?name=…``; returns the chosen option.

    Raises Gone where the address names something else, below a chooser that has no choice yet.
    """
    try:
        chosen = state.chosen(name, list(options), default, within=within)
    except state.Gone:
        key = f"choose_{name}_anew"
        st.selectbox(
            label,
            list(options),
            index=None,
            key=key,
            format_func=options.__getitem__,
            on_change=state.follow,
            args=(name, key, *clear),
        )
        raise
    chooser(label, f"choose_{name}", options, chosen, follows=(name, *clear))
    return chosen


def choose_part(label: str, name: str, options: dict[str, str], *, default: str) -> str:
    """Draw the parts of a screen side by side, of which one is shown; the choice is kept in the address as ``?name=…``.

    Raises Gone where the address names something else, below parts of which none is chosen yet.
    """
    gone: state.Gone | None = None
    try:
        chosen = state.chosen(name, list(options), default)
        given = state.inject(f"choose_{name}", chosen, chosen)
        key, first = given.key, given.first
    except state.Gone as error:
        gone, key, first = error, f"choose_{name}_anew", None
    st.segmented_control(
        label,
        list(options),
        default=first,
        key=key,
        required=first is not None,
        format_func=options.__getitem__,
        wrap=True,
        on_change=state.follow,
        args=(name, key),
        label_visibility="collapsed",
    )
    if gone is not None:
        raise gone
    return chosen


def chooser(
    label: str, widget: str, options: dict[str, str], chosen: str, *, follows: tuple[str, ...], at: Any = st
) -> None:
    """Draw a chooser that shows an option; its choice goes into the first query parameter of ``follows`` and clears the others.

    ``widget`` names it in the browser session, and ``at`` is where it is drawn.
    """
    given = state.inject(widget, chosen, chosen)
    name, *clear = follows
    at.selectbox(
        label,
        list(options),
        index=index(options, given.first),
        key=given.key,
        format_func=options.__getitem__,
        on_change=state.follow,
        args=(name, given.key, *clear),
    )


def choose_place(
    current: State,
    label: str,
    name: str,
    options: dict[str, str],
    *,
    prefer: Sequence[str],
    clear: tuple[str, ...] = (),
) -> str:
    """Draw the chooser of a group, zone or function; the address gets its system too. Returns the chosen option.

    Where the address names none: the first of ``prefer`` that belongs to the system of the address. Raises Gone where the
    address names what is not there, or a system to which the group or function does not belong.
    """
    system = state.at("system")
    of_system = (key for key in prefer if system is None or system in _systems(current, name, key))
    default = next(of_system, next(iter(prefer), None))
    chosen = choose(label, name, options, default=default, clear=(*clear, "system"), within=system or "")
    systems = _systems(current, name, chosen)
    if system is None:
        visible = [key for key in systems if key in current.systems]
        if visible:
            state.move(system=visible[0])
    elif system not in current.plant.systems:
        raise state.Gone("system", system)
    elif name != "zone" and system not in systems:
        raise state.Gone("system", system, f"{chosen} does not belong to system {system}")
    return chosen


def _systems(current: State, name: str, key: str) -> Sequence[str]:
    """The systems to which a group, zone or function belongs."""
    links = current.assessment.links
    if name == "function":
        systems: Iterable[str] = filter(None, [links.system_of_function.get(key)])
    elif name == "group":
        systems = links.systems_of.get(key, ())
    else:
        systems = (system for group in links.groups_in.get(key, ()) for system in links.systems_of[group])
    return list(dict.fromkeys(systems))


def say_gone(gone: state.Gone, live: Live, current: State) -> None:
    """Say that the address names something that is not there. Nothing else is shown in its place."""
    st.warning(escaped(f"{gone.why or _why(gone, live, current)}. Nothing else is shown in its place."))


def _why(gone: state.Gone, live: Live, current: State) -> str:
    name, value, plant = gone.name, gone.value, current.plant
    if name == "q":
        known = value in current.assessment.banks.questions
        return f"Question {value} is not asked here" if known else f"There is no question {value}"
    if name not in BLOCKS:
        return f"{value} is not among the choices here"
    if value in getattr(plant, BLOCKS[name]) and current.within is None:
        return f"{value} is in this plant, but not among the choices here"
    if current.within is not None:
        return f"{value} is not in {plant.plant.name}, or belongs to another team"
    if plants.was_once(live, BLOCKS[name], value):
        return f"{value} is no longer in {plant.plant.name}"
    return f"{value} is not in {plant.plant.name}"
