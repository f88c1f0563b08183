"""Residual gaps: the owner accepts them one by one, by name, for a reason and until a day."""

from __future__ import annotations

from datetime import timedelta

import pandas as pd
import streamlit as st

from checks.assessment.results import HIDDEN
from checks.revision import basis
from checks.signoff import accepted_gaps
from checks.state.live import Live, State
from pages.ui import state
from pages.ui.forms import Form, days


def draw(live: Live, now: State, system: str) -> None:
    """Draw the gaps of a system's zones that are neither closed nor accepted, and the acceptance of one."""
    zones = basis.scope(now.plant, now.assessment.links, system).zones
    open_gaps = [
        (zone, gap.question, gap.value) for zone in zones for gap in now.assessment.zone(zone).gaps if gap != HIDDEN
    ]
    held = now.records.accepted
    left = [gap for gap in open_gaps if not now.records.stays(system, *gap, now.day)]
    with st.expander(f"Residual gaps: {len(open_gaps) - len(left)} accepted, {len(left)} not", key="residual"):
        told = [(held[system, zone, name], value) for zone, name, value in open_gaps if (system, zone, name) in held]
        if told:
            rows = [
                {
                    "Zone": one.zone, "Gap": one.question, "Accepted by": one.cause.by, "On": one.cause.day,
                    "Until": one.until, "Why": one.reason, "Holds": "yes" if one.covers(value, now.day) else "worse since" if one.holds(now.day) else "ended",
                }
                for one, value in told
            ]  # fmt: skip
            st.dataframe(pd.DataFrame(rows), hide_index=True, key="accepted", alt="Accepted gaps")
        if not left:
            st.caption("Every gap on the list is accepted.")
            return
        names = {f"{zone} {name}": (zone, name) for zone, name, _ in left}
        form = Form("accept", system)
        with st.form(form.name, border=False):
            st.multiselect("Gaps", list(names), key=form.key("gaps", names))
            st.text_input("Why it can stay, and what is done meanwhile", key=form.key("reason"), max_chars=2000)
            st.date_input("Until", value=now.day + timedelta(days=365), key=form.key("until"), format="YYYY-MM-DD")
            form.button(
                "Accept these gaps",
                lambda told: accepted_gaps.accept_gaps(
                    live,
                    state.person(),
                    [(system, *names[one]) for one in told["gaps"]],
                    reason=told["reason"],
                    until=days(told, "until")["until"],
                ),
                "The gaps are accepted.",
            )
