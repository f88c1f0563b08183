"""One entry of a sheet as a form: every column with its allowed values beside it. The grid shows many, this shows all of one."""

from __future__ import annotations

import streamlit as st

from checks.plant_tables.columns import SHEETS, YES_NO, Column
from checks.plant_tables.entries import OWNER
from checks.plant_tables.rows import Row
from checks.state.live import Live, State
from pages.plant import drafts
from pages.plant.drafts import PlantDraft
from pages.ui.forms import Form, Told

COLUMNS = 3


def draw(live: Live, current: State, kept: PlantDraft, sheet: str) -> None:
    """Draw the form of one row of a sheet; its button puts the row into the draft."""
    lines = kept.rows(current, sheet)
    if not lines:
        st.caption("This sheet has no row yet.")
        return
    owner = OWNER.get(sheet, "id")
    names = {at: f"{at + 1}: {row.get(owner, '')}" for at, row in enumerate(lines)}
    at = st.selectbox("Row", list(names), format_func=names.__getitem__, key=f"entry_of_{sheet}")
    row = lines[at]
    form = Form("entry", (live.key, sheet, at, kept.seen, kept.turn, tuple(sorted(row.items()))))
    with form.fields():
        columns = st.columns(COLUMNS)
        for number, column in enumerate(SHEETS[sheet]):
            with columns[number % COLUMNS]:
                _field(form, column, row.get(column.key, ""))
        form.button(
            "Put it into the draft", lambda fields: _put(live, current, (sheet, at), fields), "It is in the draft."
        )


def _field(form: Form, column: Column, text: str) -> None:
    choices = column.choices or (YES_NO if column.kind == "flag" else ())
    if choices:
        options = ["", *dict.fromkeys((*choices, *filter(None, [text])))]
        st.selectbox(
            column.head,
            options,
            index=options.index(text),
            key=form.key(column.key),
            format_func=lambda name: name or "–",
        )
    else:
        st.text_input(column.head, text, key=form.key(column.key), max_chars=2000, help=column.allowed)


def _put(live: Live, current: State, place: tuple[str, int], fields: Told) -> None:
    sheet, at = place
    kept = drafts.of(live, current)
    lines: list[Row] = kept.rows(current, sheet)
    if at < len(lines):
        lines[at] = {key: text for key, text in fields.items() if text}
        drafts.keep(kept.put(current, sheet, lines).plus(current, {}))
