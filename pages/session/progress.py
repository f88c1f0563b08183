"""Progress of a session per section, a list to jump to a question, and a table of all answers."""

from __future__ import annotations

from collections.abc import Mapping

import pandas as pd
import streamlit as st

from checks.plantfile.plant import Answer, Asked
from checks.questions.bank import Question
from checks.state.live import State
from pages.presentation.wording import ANSWERS, addressee, escaped
from pages.session.question_panel import Walk
from pages.ui import places, state

NOT_ANSWERED = "Not answered"


def asked_in(walk: Walk) -> list[Asked]:
    """Each question of the session, with the addressee for which it is shown."""
    return [(question.id, walk.scope(question)) for question in walk.questions]


def progress(walk: Walk) -> None:
    """Draw the progress per section, and a list to jump to a question."""
    sections: dict[str, list[Question]] = {}
    for question in walk.questions:
        sections.setdefault(question.section_title, []).append(question)
    done = sum(question.id in walk.answers for question in walk.questions)
    counts = [f"**{done} of {len(walk.questions)} answered**"]
    for title, questions in sections.items():
        answered = sum(question.id in walk.answers for question in questions)
        counts.append(f"{escaped(title)} {answered}/{len(questions)}")
    st.progress(done / len(walk.questions), text=" · ".join(counts))
    # Labels must not depend on the answers: Streamlit takes a list with new labels for a change by the user.
    labels = {question.id: f"{question.id} · {question.text}" for question in walk.questions}
    widget = state.inject("jump", walk.current().id, walk.current().id)
    st.selectbox(
        "Jump to",
        list(labels),
        index=places.index(labels, widget.first),
        key=widget.key,
        format_func=labels.__getitem__,
        on_change=state.follow,
        args=("q", widget.key),
    )


def _label(answers: Mapping[str, Answer], question: Question) -> str:
    return ANSWERS[answers[question.id].value] if question.id in answers else NOT_ANSWERED


def listed(current: State, walk: Walk, label: str) -> None:
    """Draw all answers of the session as a table, only while its fold is open, so that an answer's effect shows sooner."""
    folded = st.expander(label, key="listed", on_change="rerun")
    if folded.open:
        with folded:
            st.dataframe(pd.DataFrame(_rows(current, walk)), hide_index=True, key="answers", alt=label)


def _rows(current: State, walk: Walk) -> list[dict[str, str]]:
    return [
        {
            "Question": question.id,
            "Text": question.text,
            "Answer": _label(walk.answers, question),
            "Answered for": addressee(walk.answers[question.id].of, current.plant)
            if question.id in walk.answers
            else "",
            "Evidence": walk.answers[question.id].evidence if question.id in walk.answers else "",
            "Note": walk.answers[question.id].note if question.id in walk.answers else "",
        }
        for question in walk.questions
    ]
