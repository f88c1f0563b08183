"""What a signature will cover beside the revision, shown to the signer before it is given."""

from __future__ import annotations

from typing import Any

import pandas as pd
import streamlit as st

from checks.signoff import sign_off
from checks.state.live import State
from pages.presentation.wording import counted

ACTION = {"id": "Id", "what": "What", "owner": "Owner", "due": "Due", "state": "State"}
GAP = {"zone": "Zone", "question": "Gap", "until": "Until", "reason": "Why"}
"""Columns by the names that stand in the statement."""


def draw(now: State, fixed: dict[str, Any], half: str) -> dict[str, Any]:
    """Draw the open actions of the system and, for the security half, the gaps that were accepted; returns both."""
    held = sign_off.covered(now, fixed, half)
    lists = {"open_actions": ("open action", ACTION)}
    if half == "security":
        lists["accepted_gaps"] = ("accepted gap", GAP)
    *parts, last = (
        "this revision",
        "your statement below",
        *(counted(len(held[name]), what) for name, (what, _) in lists.items()),
    )
    st.markdown(f"**Your signature will cover {', '.join(parts)} and {last}**")
    for name, (what, columns) in lists.items():
        if held[name]:
            rows = [{label: one[key] for key, label in columns.items()} for one in held[name]]
            shown = pd.DataFrame(rows)
            st.dataframe(shown, hide_index=True, key=f"{name}_{half}", alt=f"Every {what} that the {half} half covers")
    return held
