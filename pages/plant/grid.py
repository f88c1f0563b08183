"""The grid of one sheet. Every cell is text: what was typed stays as typed, and is read by the draft."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pandas as pd
import streamlit as st

from checks.plant_tables.columns import SHEETS, Column
from checks.state.live import Live, State
from pages.plant import drafts
from pages.plant.drafts import PlantDraft
from pages.ui import state

BASE = "grid base"
"""Session key of the rows from which the grid was drawn first; while it is drawn, edits lie on top of them."""
DRAWN = "grid drawn"
"""Session key of the edits with which the grid was last drawn."""
NARROW = ("id", "number", "fit", "hours", "share", "whole", "voting", "choice", "flag")


def draw(live: Live, current: State, kept: PlantDraft, sheet: str) -> PlantDraft:
    """Draw the grid of a sheet; returns the draft with what was typed into it."""
    base = _base(live, current, kept, sheet)
    columns = SHEETS[sheet]
    key = f"grid_{live.key}_{sheet}_{kept.seen}_{state.get(BASE)[0]}"
    edited: Any = st.data_editor(
        base,
        key=key,
        num_rows="fixed" if sheet == "Plant" else "dynamic",
        hide_index=False,
        column_config={
            "_index": st.column_config.Column("row", width="small"),
            **{column.key: _config(column, first=at == 0) for at, column in enumerate(columns)},
        },
        alt=f"{sheet} of {current.plant.plant.name}",
    )
    state.put(DRAWN, (key, deepcopy(state.get(key))))
    return kept.put(current, sheet, drafts.as_rows(edited.to_dict("records"), sheet))


def drawn() -> bool:
    """Whether the screen shows every cell as typed. A cell left by pressing a button reaches the server with that press."""
    key, edits = state.get(DRAWN, ("", None))
    return bool(state.get(key) == edits)


def _base(live: Live, current: State, kept: PlantDraft, sheet: str) -> pd.DataFrame:
    """The rows under the edits: taken from the draft when another sheet, draft or turn is shown, then left alone."""
    of = (live.key, sheet, kept.seen, kept.turn)
    number, subject, frame = state.get(BASE, (0, None, None))
    if subject != of:
        keys = [column.key for column in SHEETS[sheet]]
        lines = [{key: row.get(key, "") for key in keys} for row in kept.rows(current, sheet)]
        frame = pd.DataFrame(lines, columns=keys, dtype=str)
        frame.index = pd.RangeIndex(1, len(frame) + 1)
        state.put(BASE, (number + 1, of, frame))
    shown: pd.DataFrame = frame
    return shown


def _config(column: Column, *, first: bool) -> Any:
    return st.column_config.TextColumn(
        column.head,
        help=column.allowed,
        pinned=first,
        width="small" if column.kind in NARROW else "medium",
        max_chars=2000,
    )
