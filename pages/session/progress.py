"""How far a session has come: progress per section, a list to jump in, all answers as a table."""

from __future__ import annotations

from collections.abc import Mapping

import pandas as pd
import streamlit as st

from checks.plantfile.plant import Answer, Asked
from checks.questions.bank import Question
from checks.state.live import State
from pages.presentation.wording import ANSWERS, addressee, plain
from pages.session.question_panel import Walk
from pages.ui import frame, state

NOT_ANSWERED = "Not answered"


def asked_in(walk: Walk) -> list[Asked]:
    """Each question of the session with the addressee for which it is shown."""
    return [(one.id, walk.scope(one)) for one in walk.questions]


def progress(walk: Walk) -> None:
    """Progress per section, and a list to jump in."""
    sections: dict[str, list[Question]] = {}
    for one in walk.questions:
        sections.setdefault(one.section_title, []).append(one)
    done = sum(one.id in walk.held for one in walk.questions)
    st.progress(done / len(walk.questions), text=f"**{done} of {len(walk.questions)} answered**")
    said = []
    for title, questions in sections.items():
        answered = sum(one.id in walk.held for one in questions)
        said.append(f"{plain(title)} {answered}/{len(questions)}")
    st.caption(" · ".join(said))
    # The labels must not change with the answers: a list whose labels change would seem to have been used.
    labels = {one.id: f"{one.id} · {one.text}" for one in walk.questions}
    widget = state.inject("jump", walk.current().id, walk.current().id)
    st.selectbox(
        "Jump to",
        list(labels),
        index=frame.place(labels, widget.first),
        key=widget.key,
        format_func=labels.__getitem__,
        on_change=state.follow,
        args=("q", widget.key),
    )


def _held(held: Mapping[str, Answer], question: Question) -> str:
    return ANSWERS[held[question.id].value] if question.id in held else NOT_ANSWERED


def listed(now: State, walk: Walk, label: str) -> None:
    """Draw all answers of the session as a table, while its fold is open: an answer's effect shall not wait for it."""
    folded = st.expander(label, key="listed", on_change="rerun")
    if folded.open:
        with folded:
            st.dataframe(pd.DataFrame(_rows(now, walk)), hide_index=True, key="answers", alt=label)


def _rows(now: State, walk: Walk) -> list[dict[str, str]]:
    return [
        {
            "Question": one.id,
            "Text": one.text,
            "Answer": _held(walk.held, one),
            "From": addressee(walk.held[one.id].of, now.plant) if one.id in walk.held else "",
            "Evidence": walk.held[one.id].evidence if one.id in walk.held else "",
            "Note": walk.held[one.id].note if one.id in walk.held else "",
        }
        for one in walk.questions
    ]
