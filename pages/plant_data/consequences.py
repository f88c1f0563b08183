"""What a change of plant data does, before it is stored: entries, results, sign-offs, answers."""

from __future__ import annotations

from typing import Any

import streamlit as st

from checks.plant_tables.columns import column
from checks.plant_tables.preview import Move, Preview
from checks.text.number_format import NONE, measure
from pages.presentation.wording import counted, escaped
from pages.ui import tables

MOST_LISTED = 60


def draw(found: Preview) -> None:
    """Draw the consequences of a draft that can be stored."""
    if found.nothing:
        st.caption("Nothing is changed.")
        return
    st.markdown(f"**{summary(found)}**")
    for text in warnings(found):
        st.warning(escaped(text))
    changes = [
        dict(zip(HEADS, (sheet, entry, kind, field or NONE, before, after), strict=True))
        for sheet, entry, kind, field, before, after in all_changes(found)
    ]
    with st.expander(f"What changes ({len(changes)})", expanded=len(changes) <= 12):
        tables.table(changes[:MOST_LISTED], key="changes", alt="Entries that are new, changed or gone")
        _rest(len(changes))
    if found.moves:
        with st.expander(f"Results that move ({len(found.moves)})", expanded=len(found.moves) <= 12):
            tables.table(
                [_move(move) for move in found.moves[:MOST_LISTED]], key="moves", alt="Results before and after"
            )
            _rest(len(found.moves))


def summary(found: Preview) -> str:
    """One sentence: how many entries are new, changed and gone, and how many results move."""
    return (
        f"{len(found.new)} new, {len(found.changed)} changed, {len(found.gone)} gone; "
        f"{counted(len(found.moves), 'result')} different."
    )


def warnings(found: Preview) -> list[str]:
    """Sentences on what the change undoes for others: sign-offs, and answers that are no longer used."""
    texts = []
    for each in found.invalidated:
        signed = f", signed by the {' and the '.join(each.signed)} half" if each.signed else ""
        texts.append(f"This invalidates revision {each.number} of {each.system}{signed}.")
    if found.unused:
        texts.append(
            f"{counted(found.unused, 'stored answer')} no longer used, because the entry answered for is gone."
        )
    return texts


def _rest(count: int) -> None:
    if count > MOST_LISTED:
        st.caption(f"{count - MOST_LISTED} more are not listed.")


HEADS = ("Sheet", "Entry", "Change", "Field", "Before", "After")
"""Columns of ``all_changes``."""


def all_changes(found: Preview) -> list[tuple[str, ...]]:
    """A line for each entry that is new or gone, and for each changed field."""
    kinds = (("new", found.new), ("changed", found.changed), ("gone", found.gone))
    return [
        (change.sheet, change.id, kind, column(change.sheet, key).head if key else "", old, new)
        for kind, changes in kinds
        for change in changes
        for key, old, new in change.fields or (("", "", ""),)
    ]


def _move(move: Move) -> dict[str, Any]:
    def shown(case: str, *, after: bool) -> str:
        cases = move.after if after else move.before
        return NONE if cases is None else measure(move.demand, getattr(cases, case))

    return {
        "Function": move.function,
        "Measure": "RRF" if move.demand == "low" else "PFH",
        "Common cause, before": shown("scored", after=False),
        "Common cause, after": shown("scored", after=True),
        "Cyber scenario, before": shown("adjusted", after=False),
        "Cyber scenario, after": shown("adjusted", after=True),
    }
