"""Residual gaps: the asset owner accepts them one by one, by name, with a justification and an end date."""

from __future__ import annotations

from datetime import date, timedelta

import streamlit as st

from checks.assessment.results import HIDDEN
from checks.revision import basis
from checks.signoff import accepted_gaps
from checks.state.live import Live, State
from checks.state.owner_records import Accepted
from pages.ui import state, tables
from pages.ui.forms import Form, days


def draw(live: Live, current: State, system: str) -> None:
    """Draw the gaps of a system's zones, accepted and open, and the form that accepts open ones."""
    zones = basis.scope(current.plant, current.assessment.links, system).zones
    gaps = [
        (zone, gap.question, gap.value) for zone in zones for gap in current.assessment.zone(zone).gaps if gap != HIDDEN
    ]
    still_open = [gap for gap in gaps if not current.records.stays(system, *gap, current.day)]
    title = f"Gaps: {len(gaps) - len(still_open)} accepted as residual risk, {len(still_open)} open"
    with st.expander(title, key="residual"):
        accepted = current.records.accepted
        rows = [
            _row(accepted[system, zone, name], value, current.day)
            for zone, name, value in gaps
            if (system, zone, name) in accepted
        ]
        if rows:
            alt = "Accepted residual risks"
            tables.table(rows, key="accepted", alt=alt)
        if still_open:
            _accept(live, current, system, {f"{zone} {name}": (zone, name) for zone, name, _ in still_open})
        else:
            st.caption("All gaps are accepted or closed.")


def _row(acceptance: Accepted, value: str, today: date) -> dict[str, str]:
    valid = "no: expired"
    if acceptance.holds(today):
        valid = "yes" if acceptance.covers(value, today) else "no: the answer is worse now"
    return {
        "Zone": acceptance.zone,
        "Gap": acceptance.question,
        "Accepted by": acceptance.cause.by,
        "Accepted on": acceptance.cause.day,
        "Until": acceptance.until,
        "Justification": acceptance.reason,
        "Valid": valid,
    }


def _accept(live: Live, current: State, system: str, gaps: dict[str, tuple[str, str]]) -> None:
    form = Form("accept", system)
    with form.fields():
        st.multiselect("Gaps", list(gaps), key=form.key("gaps", gaps))
        st.text_input("Justification and interim measures", key=form.key("reason"), max_chars=2000)
        st.date_input(
            "Accepted until", value=current.day + timedelta(days=365), key=form.key("until"), format="YYYY-MM-DD"
        )
        form.button(
            "Accept as residual risk",
            lambda fields: accepted_gaps.accept_gaps(
                live,
                state.person(),
                [(system, *gaps[label]) for label in fields["gaps"]],
                reason=fields["reason"],
                until=days(fields, "until")["until"],
            ),
            "The residual risk is accepted.",
        )
