"""Due and open: systems due, overdue or no longer validly signed, open actions, expiring evidence and acceptances."""

from __future__ import annotations

import streamlit as st

from checks.plantfile.plant import Asked
from checks.reassessment import due_list
from checks.reassessment.due_list import DueSystem, Ending
from checks.revision.basis import Scope
from checks.state.evidence import Evidence
from checks.state.live import Live, State
from checks.state.revision_status import VOID
from pages.presentation.wording import addressee, titled
from pages.reassessment import actions
from pages.ui import frame, system_filter, tables


def _draw(live: Live, current: State) -> None:
    scope = system_filter.chosen(current)
    systems = [each for each in due_list.standings(current) if scope is None or each.system == scope.system]
    overdue = sum(system.near == "overdue" for system in systems)
    void = sum(system.state == VOID for system in systems)
    st.markdown(f"## {overdue} overdue, {void} {VOID}, of {len(systems)} safety systems")
    if not systems:
        frame.nothing_to_choose(current, "safety system")
        return
    rows = [_row(current, system) for system in systems]
    tables.table(rows, key="standings", alt="Systems, the most urgent first")
    links = st.container(horizontal=True)
    for system in systems:
        with links:
            frame.link("again", f"Re-assess {system.system}", system=system.system)
    frame.method_note(current)
    actions.draw(live, current, scope)
    _evidence(current, scope)
    _acceptances(current, scope)


def _row(current: State, system: DueSystem) -> dict[str, str | int]:
    return {
        "System": titled(system.system, current.plant.systems[system.system].name),
        "Standing": system.words,
        "Next due": system.due.isoformat() if system.due else "",
        "Due status": _due_status(system),
        "To confirm": system.to_confirm,
        "To answer again": system.to_answer_again,
        "Last signed": f"revision {system.signed}, {system.signed_on}" if system.signed is not None else "never",
        "Reason": system.why,
    }


def _due_status(system: DueSystem) -> str:
    if system.state == VOID:
        return "void: nothing signed holds"
    return system.near or "set by the first complete sign-off"


def _evidence(current: State, scope: Scope | None) -> None:
    st.markdown("### Expired and expiring evidence")
    rows = [
        _evidence_row(current, ending.asked, ending.evidence, ending.evidence.valid_until, _expiry(ending))
        for ending in due_list.evidence_ending(current)
        if scope is None or ending.asked[1] in scope.addressees
    ] + [
        _evidence_row(current, asked, evidence, evidence.until_event, "expires with this event")
        for asked, evidence in due_list.until_event(current)
        if scope is None or asked[1] in scope.addressees
    ]
    if rows:
        tables.table(rows, key="ending", alt="Expired and expiring evidence")
    else:
        st.caption("No evidence on record expires within 60 days.")


def _evidence_row(current: State, asked: Asked, evidence: Evidence, until: str, status: str) -> dict[str, str]:
    return {
        "Question": asked[0],
        "Of": addressee(asked[1], current.plant),
        "Evidence": f"{evidence.identifier} {evidence.revision}".strip(),
        "Shows": evidence.shows,
        "Until": until,
        "Status": status,
    }


def _expiry(ending: Ending) -> str:
    if not ending.ended:
        return "expires soon"
    return "expired: the answer counts as claimed" if ending.claim else "expired; other evidence is valid"


def _acceptances(current: State, scope: Scope | None) -> None:
    st.markdown("### Expired and expiring acceptances of residual risk")
    rows = [
        {
            "System": system,
            "Zone": acceptance.zone,
            "Gap": acceptance.question,
            "Until": acceptance.until,
            "Status": "expires soon" if acceptance.holds(current.day) else "expired: the gap is open again",
            "Accepted by": acceptance.cause.by or "somebody",
            "Justification": acceptance.reason,
        }
        for system, acceptance in due_list.acceptances_ending(current)
        if scope is None or system == scope.system
    ]
    if rows:
        tables.table(rows, key="accepting", alt="Expired and expiring acceptances of residual risk")
    else:
        st.caption("No acceptance expires within 60 days.")


page = frame.screen(_draw, needs="see evidence")
