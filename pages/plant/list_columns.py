"""Which sheet each table of a list is, and which column each of its heads: shown, and corrected by choosers."""

from __future__ import annotations

from functools import partial

import streamlit as st

from checks.plant_tables import matching
from checks.plant_tables.columns import SHEETS, column
from checks.plant_tables.list_import import ReadList
from checks.plant_tables.matching import NOT_READ, Match, Matched
from checks.state.live import Live
from pages.plant import brought_list
from pages.plant.brought_list import Brought
from pages.presentation.wording import counted, escaped, shortened
from pages.ui import places, state

NOT = "not read"
HOW = {"key": "by its key", "name": "by its name", "like": "looks like it", "chosen": "chosen", "none": "not found"}
AS_LAST_TIME = "as last time"
UNSURE = ("like", "none")
IN_A_ROW = 3
SIGNS = {
    "comma": "the decimal sign: 1,500 is one and a half",
    "point": "it separates thousands: 1,500 is one thousand five hundred",
}


def draw(live: Live, brought: Brought, found: ReadList) -> None:
    """Draw the tables of a list with their choosers."""
    for number, matched in enumerate(found.matched):
        with st.container(border=True):
            _sheet(live, number, matched)
            if matched.sheet:
                _columns(live, brought, number, matched)
    if found.undecided or brought.choices.decimal:
        _decimal(live, brought, found)


def _sheet(live: Live, number: int, matched: Matched) -> None:
    rows = sum(row > matched.head_row for row, _ in matched.table.rows)
    text = f"**{escaped(matched.table.title)}**: {counted(rows, 'row')}"
    st.markdown(f"{text} below the head in row {matched.head_row}" if matched.sheet else text)
    widget = state.inject(_key(live, "sheet", number), matched.sheet, matched.sheet)
    options = [NOT_READ, *SHEETS]
    st.selectbox(
        f"Sheet of {escaped(shortened(matched.table.title))}",
        options,
        index=places.index(options, widget.first),
        key=widget.key,
        format_func=lambda sheet: sheet or NOT,
        on_change=_choose_sheet,
        args=(live, matched.table.title, widget.key),
    )


def _columns(live: Live, brought: Brought, number: int, matched: Matched) -> None:
    """Choosers of the heads that are not found for certain; those of the others in a fold."""
    heads = [match.head for match in matched.matches]
    first = matching.matches(heads, matched.sheet, brought.remembered.chosen.columns.get(matched.sheet))
    unsure = [at for at, match in enumerate(first) if match.how in UNSURE and match.head.strip()]
    others = [at for at, match in enumerate(first) if match.how not in UNSURE and match.head.strip()]
    _choosers(live, brought, number, matched, unsure)
    if not others:
        return
    fold = st.expander("Columns that are known", key=_key(live, "known", number), on_change="rerun")
    if fold.open:
        with fold:
            _choosers(live, brought, number, matched, others)


def _choosers(live: Live, brought: Brought, number: int, matched: Matched, heads: list[int]) -> None:
    options = [NOT_READ, *(each.key for each in SHEETS[matched.sheet])]
    all_heads = tuple(match.head for match in matched.matches)
    for start in range(0, len(heads), IN_A_ROW):
        for place, at in zip(st.columns(IN_A_ROW), heads[start : start + IN_A_ROW], strict=False):
            match = matched.matches[at]
            widget = state.inject(_key(live, matched.sheet, number, at), match.key, match.key)
            place.selectbox(
                f"{escaped(shortened(match.head))} ({_how(brought, matched.sheet, match)})",
                options,
                index=places.index(options, widget.first),
                key=widget.key,
                format_func=partial(_named, matched.sheet),
                on_change=_choose_column,
                args=(live, matched.sheet, all_heads, match.head, widget.key),
            )


def _named(sheet: str, key: str) -> str:
    return column(sheet, key).head if key else NOT


def _how(brought: Brought, sheet: str, match: Match) -> str:
    last = brought.remembered.chosen.columns.get(sheet, {})
    return AS_LAST_TIME if match.how == "chosen" and last.get(match.head) == match.key else HOW[match.how]


def _decimal(live: Live, brought: Brought, found: ReadList) -> None:
    example = next((str(fault) for each in found.entries for fault in each.faults if fault.decides), "")
    if example:
        st.warning(escaped(f"Some numbers can be read in two ways. {example}."))
    last = brought.remembered.decimal
    widget = state.inject(_key(live, "decimal"), brought.choices.decimal or None, brought.choices.decimal)
    st.radio(
        "What does the comma mean in this list?",
        list(SIGNS),
        index=list(SIGNS).index(widget.first) if widget.first else None,
        key=widget.key,
        format_func=SIGNS.__getitem__,
        captions=[AS_LAST_TIME if sign == last else "" for sign in SIGNS] if last else None,
        on_change=_choose_decimal,
        args=(live, widget.key),
    )


def _key(live: Live, *parts: str | int) -> str:
    return "_".join(map(str, ("list", live.key, brought_list.turn(live), *parts)))


def _choose_sheet(live: Live, title: str, widget: str) -> None:
    """Callback: another sheet for a table."""
    brought, sheet = brought_list.of(live), state.get(widget)
    if state.changed(widget) and brought is not None and sheet in (NOT_READ, *SHEETS):
        brought_list.keep(live, brought.with_sheet(title, sheet))


def _choose_column(live: Live, sheet: str, heads: tuple[str, ...], head: str, widget: str) -> None:
    """Callback: another column for a head."""
    brought, key = brought_list.of(live), state.get(widget)
    if state.changed(widget) and brought is not None and key in (NOT_READ, *(each.key for each in SHEETS[sheet])):
        brought_list.keep(live, brought.with_column(sheet, heads, head, key))


def _choose_decimal(live: Live, widget: str) -> None:
    """Callback: what the comma means."""
    brought, sign = brought_list.of(live), state.get(widget)
    if state.changed(widget) and brought is not None and sign in SIGNS:
        brought_list.keep(live, brought.with_decimal(sign))
