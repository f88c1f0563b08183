"""What a signature will cover in addition to the revision, shown before signing."""

from __future__ import annotations

from typing import Any

import streamlit as st

from checks.signoff import statement
from checks.state.live import State
from pages.presentation.wording import counted
from pages.ui import tables

ACTION = {"id": "Id", "what": "Action", "owner": "Action owner", "due": "Due", "state": "Status"}
GAP = {"zone": "Zone", "question": "Gap", "until": "Until", "reason": "Justification"}
"""Column titles by the field names of the statement."""


def draw(current: State, fixed: dict[str, Any], half: str) -> dict[str, Any]:
    """Draw the open actions of the system and, for the security half, its accepted residual risks; returns both."""
    covered = statement.covered(current, fixed, half)
    lists = {"open_actions": ("open action", ACTION)}
    if half == "security":
        lists["accepted_gaps"] = ("accepted residual risk", GAP)
    *parts, last = (
        "this revision",
        "your statement below",
        *(counted(len(covered[name]), what) for name, (what, _) in lists.items()),
    )
    st.markdown(f"**Your signature will cover {', '.join(parts)} and {last}**")
    for name, (what, columns) in lists.items():
        if covered[name]:
            rows = [{label: entry[key] for key, label in columns.items()} for entry in covered[name]]
            tables.table(rows, key=f"{name}_{half}", alt=f"Every {what} that the {half} half covers")
    return covered
