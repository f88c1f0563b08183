"""What is kept beside an answer, in one place: its evidence on record, dissents, private answers, and confirmation."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import Person
from checks.plantfile.plant import Asked
from checks.reassessment import confirmations
from checks.state.live import Live, State
from pages.presentation.wording import escaped
from pages.session import deeds, evidence_records, opinions
from pages.ui import state
from pages.ui.forms import Form


def draw(live: Live, current: State, asked: Asked) -> None:
    """Draw what is recorded with one answer, and on demand the forms to add to it."""
    person = state.person()
    _confirm(live, current, asked, person)
    recorded = [*evidence_records.lines(current, asked), *opinions.lines(current, asked)]
    if recorded:
        st.markdown("\n".join(f"- {line}" for line in recorded))
    # A fold whose label changes closes.
    folded = st.expander("Evidence, dissent, private answer, history", key="beside", on_change="rerun")
    if not folded.open:  # drawn only on demand, so that an answer's effect shows sooner
        return
    with folded:
        if asked in current.stored:
            left, right = st.columns(2, gap="large")
            with left:
                evidence_records.forms(live, current, asked, person)
            with right:
                opinions.dissents(live, current, asked, person)
        else:
            st.caption("Answer the question first, then record evidence or a dissent.")
        opinions.private(live, current, asked, person)
        deeds.history(live, current, asked)


def shown(current: State, asked: Asked) -> tuple[object, ...]:
    """The records that a session's screen shows, to be compared with those of a later state."""
    records, stored = current.records, current.stored.get(asked)
    kept = (records.evidence, records.dissents, records.private, records.to_confirm, records.to_answer_again)
    return (stored and stored.id, len(records.to_answer_again), *(by_question.get(asked) for by_question in kept))


def _confirm(live: Live, current: State, asked: Asked, person: Person) -> None:
    cause = current.records.to_confirm.get(asked)
    if cause is None:
        return
    with st.container(border=True, key="to_confirm"):
        st.markdown(f"**To be confirmed** since {cause.day}: {escaped(cause.what)}")
        if person.may("confirm an answer"):
            Form("confirm", asked, outside=True).button(
                "Confirm this answer",
                lambda _: confirmations.confirm_answers(live, state.person(), [asked]),
                "The answer is confirmed.",
            )
        else:
            st.caption("A team member confirms it or answers again.")
