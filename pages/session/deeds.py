"""What can be done with a stored answer: take back one's own, make its note an action, see its history."""

from __future__ import annotations

import streamlit as st

from checks.access.names import same
from checks.actions import note_actions
from checks.events.answering.answer import StoredAnswer
from checks.events.plant.action import Action
from checks.plantfile.plant import Asked
from checks.recording import answer_history
from checks.recording.answer_history import Version
from checks.recording.answering import AnsweredMeanwhile
from checks.state.live import Live, State
from pages.presentation.local_time import local
from pages.presentation.wording import ANSWERS, author, escaped, paragraphs
from pages.session.steps import PLACE
from pages.ui import messages, state


def draw(live: Live, current: State, asked: Asked, system: str | None) -> None:
    """Draw the buttons for what can be done with the answer shown."""
    stored = current.stored.get(asked)
    if stored is None:
        return
    row = st.container(horizontal=True, key="deeds")
    if _is_mine(stored):
        row.button("Take my answer back", key="take_back_answer", on_click=_take_back, args=(live, asked, stored.id))
    if stored.answer.note.strip() and state.person().may(Action.PERMISSION):
        known = note_actions.raised(current, stored.answer)
        row.button(
            "Make the note an action" if known is None else f"The note is action {known.id}",
            key="note_action",
            disabled=known is not None,
            on_click=_raise,
            args=(live, asked, system),
            help=f"Due in {note_actions.DAYS} days, yours until you change it under Due and open.",
        )


def history(live: Live, current: State, asked: Asked) -> None:
    """Draw all versions of the answer shown."""
    versions = answer_history.history(live, current, asked)
    lines = [f"- {_line(version)}" for version in versions]
    none = "No earlier answer is shown for this group, zone or system."
    st.markdown(paragraphs("**History**", "\n".join(lines) or none))


def _line(version: Version) -> str:
    """One version: when, who, what."""
    day, clock = local(version.at, st.context.timezone)
    head = f"{day} {clock}, {escaped(author(version.by, version.recorded_by))}: "
    answer = version.answer
    if answer is None:
        return f"{head}taken back, no answer stands"
    text = (
        f"taken back, **{ANSWERS[answer.value]}** stands again"
        if version.taken_back
        else f"**{ANSWERS[answer.value]}**"
    )
    named = (("evidence", answer.evidence), ("note", answer.note))
    return head + "; ".join((text, *(f"{name}: {escaped(typed)}" for name, typed in named if typed)))


def _is_mine(stored: StoredAnswer) -> bool:
    """Whether the person at this browser gave the answer and may take it back; checked again when it is done."""
    person = state.person()
    own = stored.writer == person.writer or (bool(person.name) and same(stored.answer.by, person.name))
    return own and person.may("answer a question")


def _take_back(live: Live, asked: Asked, seen: int) -> None:
    try:
        messages.attempt(
            lambda: answer_history.take_back(live, state.person(), asked, seen=seen),
            "Your answer is taken back. What stood before stands again.",
            PLACE,
        )
    except AnsweredMeanwhile as error:
        messages.say("warning", f"{error}.", PLACE)


def _raise(live: Live, asked: Asked, system: str | None) -> None:
    messages.attempt(
        lambda: note_actions.raise_from_note(live, state.person(), asked, system=system),
        "The note is an action now. Change owner and due date under Due and open.",
        PLACE,
    )
