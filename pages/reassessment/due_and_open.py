"""Due and open: which systems are due, overdue or void, and what else ends or waits."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from checks.reassessment import due_list
from checks.reassessment.due_list import Ending
from checks.state.live import Live, State
from pages.presentation.wording import addressee, titled
from pages.reassessment import actions
from pages.ui import frame


def _draw(live: Live, now: State) -> None:
    standings = due_list.standings(now)
    overdue = sum(one.near == "overdue" for one in standings)
    void = sum(one.state == "void" for one in standings)
    st.markdown(f"## {overdue} overdue, {void} void, of {len(standings)} systems")
    if not standings:
        frame.nothing(now, "safety system")
        return
    st.dataframe(
        pd.DataFrame(
            [
                {
                    "System": titled(one.system, now.plant.systems[one.system].name),
                    "State": one.state,
                    "Next due": one.due.isoformat() if one.due else "",
                    "Which is": one.near or "after the first signatures",
                    "To confirm": one.to_confirm,
                    "To give anew": one.anew,
                    "Last signed": f"revision {one.signed}, {one.signed_on}" if one.signed is not None else "never",
                    "Why": one.why,
                }
                for one in standings
            ]
        ),
        hide_index=True,
        key="standings",
        alt="Systems, the most urgent first",
    )
    row = st.container(horizontal=True)
    for one in standings:
        with row:
            frame.lead("again", f"Re-assess {one.system}", system=one.system)
    frame.rule(now)
    actions.draw(live, now)
    _evidence(now)
    _acceptances(now)


def _evidence(now: State) -> None:
    st.markdown("### Evidence that ends")
    ending = due_list.evidence_ending(now)
    rows = [
        {
            "Question": one.asked[0],
            "Of": addressee(one.asked[1], now.plant),
            "Evidence": f"{one.evidence.identifier} {one.evidence.revision}".strip(),
            "Shows": one.evidence.shows,
            "Until": one.evidence.valid_until,
            "State": _ended(one),
        }
        for one in ending
    ] + [
        {
            "Question": asked[0],
            "Of": addressee(asked[1], now.plant),
            "Evidence": f"{one.identifier} {one.revision}".strip(),
            "Shows": one.shows,
            "Until": one.until_event,
            "State": "ends when this happens",
        }
        for asked, one in due_list.until_event(now)
    ]
    if rows:
        st.dataframe(pd.DataFrame(rows), hide_index=True, key="ending", alt="Evidence that ends")
    else:
        st.caption("No evidence on record ends within 60 days.")


def _ended(one: Ending) -> str:
    if not one.ended:
        return "ends soon"
    return "ended: the answer counts as claimed" if one.claim else "ended; other evidence holds"


def _acceptances(now: State) -> None:
    st.markdown("### Accepted gaps that end")
    rows = [
        {
            "System": system,
            "Zone": one.zone,
            "Gap": one.question,
            "Until": one.until,
            "State": "ends soon" if one.holds(now.day) else "ended: the gap is open again",
            "Accepted by": one.cause.by or "somebody",
            "Why": one.reason,
        }
        for system, one in due_list.acceptances_ending(now)
    ]
    if rows:
        st.dataframe(pd.DataFrame(rows), hide_index=True, key="accepting", alt="Accepted gaps that end")
    else:
        st.caption("No acceptance ends within 60 days.")


page = frame.screen(_draw, needs="see evidence")
