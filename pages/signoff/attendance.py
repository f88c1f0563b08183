"""Who attended the sessions of a system, and in which role."""

from __future__ import annotations

from typing import Literal

import pandas as pd
import streamlit as st

from checks.recording import session
from checks.state.live import Live, State
from pages.ui import state
from pages.ui.forms import Form, Told, days

ROWS = 8
PLACES = ("facilitator", "scribe", "functional-safety engineer", "instrument technician", "valve specialist",
          "operations", "process engineer", "control-system engineer", "OT security", "supplier")  # fmt: skip
"""Who is usually there; any other role can be typed."""


def draw(live: Live, now: State, system: str) -> None:
    """Draw who attended so far, and the form to record a session."""
    held = now.records.attended.get(system, ())
    folded = st.expander("Who attended", key="attended", on_change="rerun")
    if not folded.open:
        return
    with folded:
        if held:
            rows = [{"On": one.on, "Name": one.name, "Role": one.role} for one in held]
            st.dataframe(pd.DataFrame(rows), hide_index=True, key="attended_list", alt="Who attended")
        form = Form("attend", system)
        with st.form(form.name, border=False):
            st.date_input("Session on", value=now.day, key=form.key("on"), format="YYYY-MM-DD")
            for at in range(ROWS):
                left, right = st.columns(2)
                shown: Literal["visible", "collapsed"] = "visible" if at == 0 else "collapsed"
                left.text_input("Name", key=form.key(f"name_{at}"), max_chars=200, label_visibility=shown)
                right.selectbox(
                    "Role",
                    PLACES,
                    index=None,
                    key=form.key(f"role_{at}"),
                    accept_new_options=True,
                    label_visibility=shown,
                )
            form.button(
                "Record who attended",
                lambda told: session.attend(
                    live, state.person(), system=system, on=days(told, "on")["on"], people=_people(told)
                ),
                "The attendance is on record.",
            )


def _people(told: Told) -> list[tuple[str, str]]:
    return [(told[f"name_{at}"], told[f"role_{at}"] or "") for at in range(ROWS)]
