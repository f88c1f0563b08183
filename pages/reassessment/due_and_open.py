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

_Piece = tuple[Asked, Evidence, str, str]
"""A question with its addressee, evidence for its answer, until when that is valid, and its status."""
MOST_NAMED = 4
"""Questions named at a piece of evidence; the others are counted."""


def _draw(live: Live, current: State) -> None:
    scope = system_filter.chosen(current)
    systems = [each for each in due_list.standings(current) if scope is None or each.system == scope.system]
    overdue = sum(system.near == "overdue" for system in systems)
    void = sum(system.state == VOID for system in systems)
    st.markdown(f"## {overdue} overdue, {void} {VOID}, of {len(systems)} safety systems")
    if not systems:
        frame.nothing_to_choose(current, "safety system")
        return
    due = [system for system in systems if system.asks]
    if due:
        _systems(current, due, key="standings", alt="Systems, the most urgent first")
    else:
        st.caption("No system is due, void or waiting for answers.")
    if len(due) < len(systems):
        folded = st.expander("Systems that are not due", key="not_due", on_change="rerun")
        if folded.open:
            with folded:
                rest = [system for system in systems if not system.asks]
                _systems(current, rest, key="standings_rest", alt="Systems that are not due")
    frame.method_note(current)
    actions.draw(live, current, scope)
    _evidence(current, scope)
    _acceptances(current, scope)


def _systems(current: State, systems: list[DueSystem], *, key: str, alt: str) -> None:
    tables.table([_row(current, system) for system in systems], key=key, alt=alt)
    links = st.container(horizontal=True)
    for system in systems:
        with links:
            frame.link("again", f"Re-assess {system.system}", system=system.system)


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
    dated = [
        (ending.asked, ending.evidence, ending.evidence.valid_until, _expiry(ending))
        for ending in due_list.evidence_ending(current)
        if scope is None or ending.asked[1] in scope.addressees
    ]
    until_event = [
        (asked, evidence, evidence.until_event, "expires with this event")
        for asked, evidence in due_list.until_event(current)
        if scope is None or asked[1] in scope.addressees
    ]
    if dated:
        tables.table(_by_piece(current, dated), key="ending", alt="Expired and expiring evidence")
    else:
        st.caption("No evidence on record expires within 60 days.")
    if not (dated or until_event):
        return
    folded = st.expander("Question by question, and what is valid until an event", key="each_piece", on_change="rerun")
    if folded.open:
        with folded:
            rows = [_evidence_row(current, *piece) for piece in (*dated, *until_event)]
            tables.table(rows, key="ending_each", alt="Evidence that ends, question by question")


def _by_piece(current: State, endings: list[_Piece]) -> list[dict[str, str]]:
    """One row for each piece of evidence, however many questions rest on it, in the order of ``endings``."""
    questions: dict[tuple[str, ...], list[str]] = {}
    for asked, evidence, until, status in endings:
        piece = (f"{evidence.identifier} {evidence.revision}".strip(), evidence.shows, until, status)
        questions.setdefault(piece, []).append(f"{asked[0]} of {addressee(asked[1], current.plant)}")
    return [
        {
            "Evidence": piece[0],
            "Shows": piece[1],
            "Until": piece[2],
            "Status": piece[3],
            "Questions": ", ".join(named[:MOST_NAMED])
            + (f" and {len(named) - MOST_NAMED} more" if len(named) > MOST_NAMED else ""),
        }
        for piece, named in questions.items()
    ]


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
