"""The cells of one variant as a form: each change is calculated at once, and kept in this browser session."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import streamlit as st

from checks.plant_tables.columns import column
from checks.state.live import Live, State
from checks.variants.variant import CELLS, Variant
from pages.presentation.wording import escaped, titled
from pages.ui import places, state
from pages.variants import kept_variants

VOTINGS = ("1oo1", "1oo2", "2oo2", "1oo3", "2oo3", "3oo3", "2oo4", "1oo2D")
LABELS = {
    "proof_test.interval_h": "Test every [h]",
    "proof_test.coverage": "Test finds",
    "proof_test.full_interval_h": "Overhaul every [h]",
    "stated_beta.beta": "Specified beta",
}
HELP = {"stated_beta.beta": "Value of a pair, such as 5 %; empty: from the answers. Detected failures get the same"}


def draw(live: Live, current: State, function: str, variants: Sequence[Variant]) -> int | None:
    """Draw the chooser of the variants and the form of the chosen one; returns its place in the list."""
    row = st.container(horizontal=True, vertical_alignment="bottom")
    free = kept_variants.free_name(variants)
    row.button(
        "New variant",
        key="new_variant",
        disabled=free is None,
        help="Up to four stand side by side",
        on_click=_add,
        args=(live, function, None),
    )
    if not variants:
        return None
    names = {variant.name: f"Variant {variant.name}" for variant in variants}
    with row:
        chosen = places.choose("Change", "variant", names, default=next(reversed(names)), within=function)
    place = next(at for at, variant in enumerate(variants) if variant.name == chosen)
    row.button("Copy it", key="copy_variant", disabled=free is None, on_click=_add, args=(live, function, chosen))
    row.button("Remove it", key="remove_variant", on_click=_remove, args=(live, function, chosen))
    for group in dict.fromkeys(current.plant.functions[function].group_ids):
        _group(live, current, (function, chosen, group), variants[place])
    _effort(live, (function, chosen), variants[place])
    return place


def _group(live: Live, current: State, where: tuple[str, str, str], variant: Variant) -> None:
    _, _, key = where
    group = current.plant.groups[key]
    st.markdown(f"**{escaped(titled(key, group.name))}**")
    if group.stated_result is not None:
        st.caption("Its result is stated: it has no voting, channels or tests to change.")
        return
    cells = [name for name in CELLS if not (group.tests and name.startswith("proof_test."))]
    for at, line in zip(st.columns(len(cells), vertical_alignment="bottom"), cells, strict=True):
        _cell(live, current, (*where, line), variant, at)
    if group.tests:
        st.caption("It has several tests: change them under Set up.")


def _cell(live: Live, current: State, where: tuple[str, str, str, str], variant: Variant, at: Any) -> None:
    _, _, group, key = where
    text, described = variant.text(current.plant, group, key), column("Groups", key)
    given = state.inject(f"variant {live.key} {' '.join(where)}", text, text)
    how: dict[str, Any] = {
        "key": given.key,
        "on_change": _put,
        "args": (live, where, given.key),
        "help": HELP.get(key, described.allowed),
    }
    label = LABELS.get(key, described.head)
    options = {"voting": VOTINGS, "zone": ("", *current.plant.zones)}.get(key)
    if options is None:
        at.text_input(label, given.first, max_chars=2000, **how)
        return
    listed = list(dict.fromkeys((*options, given.first)))
    at.selectbox(label, listed, index=listed.index(given.first), format_func=lambda name: name or "none", **how)


def _effort(live: Live, where: tuple[str, str], variant: Variant) -> None:
    given = state.inject(f"variant effort {live.key} {' '.join(where)}", variant.effort, variant.effort)
    st.number_input(
        "Effort, in a unit of yours",
        0.0,
        1e6,
        given.first,
        key=given.key,
        on_change=_effort_put,
        args=(live, where, given.key),
    )


def _put(live: Live, where: tuple[str, str, str, str], widget: str) -> None:
    """Callback: one cell of a variant was changed."""
    function, name, group, key = where
    if state.changed(widget):
        _changed(live, function, name, lambda plant, each: each.put(plant, group, key, str(state.get(widget) or "")))


def _effort_put(live: Live, where: tuple[str, str], widget: str) -> None:
    function, name = where
    if state.changed(widget):
        _changed(live, function, name, lambda _plant, each: replace(each, effort=float(state.get(widget) or 0.0)))


def _changed(live: Live, function: str, name: str, change: Any) -> None:
    current = live.state()
    variants = kept_variants.of_function(live, current, function)
    kept_variants.keep(
        live, function, [change(current.plant, each) if each.name == name else each for each in variants]
    )


def _add(live: Live, function: str, copy_of: str | None) -> None:
    """Callback: a further variant, as built or as another one."""
    variants = kept_variants.of_function(live, live.state(), function)
    name = kept_variants.free_name(variants)
    if name is not None:
        like = next((each for each in variants if each.name == copy_of), Variant(name))
        kept_variants.keep(live, function, [*variants, replace(like, name=name)])
        state.move(variant=name)


def _remove(live: Live, function: str, name: str) -> None:
    variants = kept_variants.of_function(live, live.state(), function)
    kept_variants.keep(live, function, [each for each in variants if each.name != name])
    state.move(variant=None)
