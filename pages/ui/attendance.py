"""Attendance at the sessions of a system: date, name and role; the people of the last session are filled in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import streamlit as st

from checks.recording import answer_records
from checks.state.evidence import Present
from checks.state.live import Live, State
from pages.ui import state, tables
from pages.ui.forms import Form, Told, days

ROWS = 8
PLACES = ("facilitator", "scribe", "functional-safety engineer", "instrument technician", "valve specialist",
          "operations", "process engineer", "control-system engineer", "OT security", "supplier")  # fmt: skip
"""Usual roles in a session; any other can be typed."""


def draw(live: Live, current: State, system: str, label: str = "Attendance") -> None:
    """Draw the recorded attendance and the form to record a session, on demand."""
    folded = st.expander(label, key="attended", on_change="rerun")
    if not folded.open:
        return
    attended = current.records.attended.get(system, ())
    last = answer_records.last_attendance(attended)
    with folded:
        if attended:
            rows = [{"Date": entry.on, "Name": entry.name, "Role": entry.role} for entry in attended]
            tables.table(rows, key="attended_list", alt="Attendance")
        if not state.person().may("record attendance"):
            st.caption("The facilitator records who is here.")
            return
        form = Form("attend", system)
        with form.fields():
            st.date_input("Session on", value=current.day, key=form.key("on"), format="YYYY-MM-DD")
            for row in range(max(ROWS, len(last) + 2)):
                _fields(form, row, last[row] if row < len(last) else None)
            form.button(
                "Record attendance",
                lambda fields: answer_records.record_attendance(
                    live, state.person(), system=system, on=days(fields, "on")["on"], people=_people(fields)
                ),
                f"Attendance of {system} recorded.",
            )
        if attended:
            _correct(live, system, attended)


def _correct(live: Live, system: str, attended: Sequence[Present]) -> None:
    """Draw the form that takes a wrong entry off the list; the journal keeps both."""
    entries = {f"{entry.on} {entry.name}": entry for entry in reversed(attended)}
    form = Form("correct_attendance", system)
    with form.fields():
        st.selectbox("Wrong entry", list(entries), index=None, key=form.key("entry", entries))
        st.text_input("How the wrong entry came about", key=form.key("reason"), max_chars=2000)
        form.button(
            "This person did not attend",
            lambda fields: answer_records.correct_attendance(
                live,
                state.person(),
                system=system,
                on=entries[fields["entry"]].on if fields["entry"] else "",
                name=entries[fields["entry"]].name if fields["entry"] else "",
                reason=fields["reason"],
            ),
            "The entry is corrected. The audit trail keeps both.",
        )


def _fields(form: Form, row: int, before: Present | None) -> None:
    left, right = st.columns(2)
    label: Literal["visible", "collapsed"] = "visible" if row == 0 else "collapsed"
    name, role = (before.name, before.role) if before else ("", None)
    left.text_input("Name", name, key=form.key(f"name_{row}"), max_chars=200, label_visibility=label)
    roles = PLACES if not role or role in PLACES else (*PLACES, role)
    right.selectbox(
        "Role",
        roles,
        index=roles.index(role) if role else None,
        key=form.key(f"role_{row}"),
        accept_new_options=True,
        label_visibility=label,
    )


def _people(fields: Told) -> list[tuple[str, str]]:
    rows = (name.removeprefix("name_") for name in fields if name.startswith("name_"))
    return [(fields[f"name_{row}"], fields[f"role_{row}"] or "") for row in rows]
