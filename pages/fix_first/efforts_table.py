"""Efforts of actions, entered in a table and shared by the team through the record of the plant."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pandas as pd
import streamlit as st

from checks.events.plant.effort import Body
from checks.improvement import efforts, recorded_efforts
from checks.plantfile.plant import Asked
from checks.record_files import exports
from checks.state.live import Live, State
from pages.ui import frame, messages, state

PLACE = "efforts"
COUNT = "efforts stored"
"""Session key of how often efforts were stored here: the table is then drawn from the record again."""


def draw(live: Live, current: State, listed: Sequence[Asked]) -> None:
    """Draw the table of efforts of these actions, and its download."""
    folded = st.expander("Enter efforts", key="enter_efforts", on_change="rerun")
    if not folded.open:
        return
    entered = recorded_efforts.entered(current)
    with folded:
        st.caption(
            f"An effort is {efforts.ALLOWED}, in one unit for all; an empty cell counts as 1. It is stored in the plant's record."
        )
        if state.person().may(Body.PERMISSION):
            _table(live, sorted(listed), entered)
        else:
            st.caption("Efforts are entered by those who raise actions: facilitator, team member, owner.")
        person = state.person()
        frame.download(
            "Download efforts (CSV)",
            lambda: efforts.as_csv({asked: entered.get(asked, 1.0) for asked in sorted(listed)}),
            lambda: exports.handed_out(live, person, "efforts of actions, CSV", needs="see gap detail"),
            file_name="efforts.csv",
            mime="text/csv",
        )


def _table(live: Live, listed: list[Asked], entered: dict[Asked, float]) -> None:
    """Draw the table. Its key holds what it is drawn from, so that an effort of somebody else is not taken for one typed here."""
    rows = [(*asked, f"{entered[asked]:g}" if asked in entered else "") for asked in listed]
    base = pd.DataFrame(rows, columns=["Question", "Of", "Effort"], dtype=str)
    key = f"efforts_{state.get(COUNT, 0)}_{hash(tuple(rows))}"
    st.data_editor(
        base,
        key=key,
        hide_index=True,
        disabled=["Question", "Of"],
        column_config={"Effort": st.column_config.TextColumn("Effort", help=efforts.ALLOWED, max_chars=20)},
        alt="Efforts of the open answers",
    )
    st.button("Store efforts", key="store_efforts", on_click=_store, args=(live, key, listed))
    messages.answered(PLACE)


def _store(live: Live, key: str, listed: Sequence[Asked]) -> None:
    """Callback: store what the table holds now; a cell that is left by the press arrives with it."""
    edits: dict[str, Any] = state.get(key) or {}
    typed = {
        listed[int(row)]: str(cells["Effort"] or "")
        for row, cells in edits.get("edited_rows", {}).items()
        if "Effort" in cells and int(row) < len(listed)
    }
    done = messages.attempt(lambda: recorded_efforts.enter(live, state.person(), typed), "Efforts stored.", PLACE)
    if done:
        state.put(COUNT, state.get(COUNT, 0) + 1)
