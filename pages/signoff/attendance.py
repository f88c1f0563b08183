"""Attendance at the sessions of a system: date, name and role."""

from __future__ import annotations

from typing import Literal

import streamlit as st

from checks.recording import answer_records
from checks.state.live import Live, State
from pages.ui import state, tables
from pages.ui.forms import Form, Told, days

ROWS = 8
PLACES = ("facilitator", "scribe", "functional-safety engineer", "instrument technician", "valve specialist",
          "operations", "process engineer", "control-system engineer", "OT security", "supplier")  # fmt: skip
"""Usual roles in a session; any other can be typed."""


def draw(live: Live, current: State, system: str) -> None:
    """Draw the recorded attendance and the form to record a session."""
    attended = current.records.attended.get(system, ())
    folded = st.expander("Attendance", key="attended", on_change="rerun")
    if not folded.open:
        return
    with folded:
        if attended:
            rows = [{"Date": entry.on, "Name": entry.name, "Role": entry.role} for entry in attended]
            tables.table(rows, key="attended_list", alt="Attendance")
        form = Form("attend", system)
        with st.form(form.name, border=False):
            st.date_input("Session on", value=current.day, key=form.key("on"), format="YYYY-MM-DD")
            for row in range(ROWS):
                _fields(form, row)
            form.button(
                "Record attendance",
                lambda fields: answer_records.record_attendance(
                    live, state.person(), system=system, on=days(fields, "on")["on"], people=_people(fields)
                ),
                "Attendance recorded.",
            )


def _fields(form: Form, row: int) -> None:
    left, right = st.columns(2)
    label: Literal["visible", "collapsed"] = "visible" if row == 0 else "collapsed"
    left.text_input("Name", key=form.key(f"name_{row}"), max_chars=200, label_visibility=label)
    right.selectbox(
        "Role", PLACES, index=None, key=form.key(f"role_{row}"), accept_new_options=True, label_visibility=label
    )


def _people(fields: Told) -> list[tuple[str, str]]:
    return [(fields[f"name_{row}"], fields[f"role_{row}"] or "") for row in range(ROWS)]
