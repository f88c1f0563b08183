"""Who attended the sessions of a system, and in which role."""

from __future__ import annotations

from typing import Literal

import pandas as pd
import streamlit as st

from checks.live import Live, State
from checks.record import session
from pages.shared import frame, state

ROWS = 8
PLACES = ("facilitator", "scribe", "functional-safety engineer", "instrument technician", "valve specialist",
          "operations", "process engineer", "control-system engineer", "OT security", "supplier")  # fmt: skip
"""Who is usually there; any other role can be typed."""


def draw(live: Live, now: State, system: str) -> None:
    """Draw who attended so far, and the form to record a session."""
    held = now.records.attended.get(system, ())
    folded = st.expander(f"Who attended ({len({one.name for one in held})} people)", key="attended", on_change="rerun")
    if not folded.open:
        return
    with folded:
        if held:
            rows = [{"On": one.on, "Name": one.name, "Role": one.role} for one in held]
            st.dataframe(pd.DataFrame(rows), hide_index=True, key="attended_list", alt="Who attended")
        with st.form("attend", clear_on_submit=True, border=False):
            on = st.date_input("Session on", value=now.day, key="at_on", format="YYYY-MM-DD")
            people = []
            for at in range(ROWS):
                left, right = st.columns(2)
                shown: Literal["visible", "collapsed"] = "visible" if at == 0 else "collapsed"
                name = left.text_input("Name", key=f"at_name_{at}", max_chars=200, label_visibility=shown)
                role = right.selectbox(
                    "Role", PLACES, index=None, key=f"at_role_{at}", accept_new_options=True, label_visibility=shown
                )
                people.append((name, role or ""))
            done = st.form_submit_button("Record who attended")
        if done:
            frame.attempt(
                lambda: session.attend(
                    live, state.person(), system=system, on=on.isoformat() if on else "", people=people
                ),
                "The attendance is on record.",
            )
