"""The parts of a session on its screen: question and answer at the left, their effect at the right, progress below."""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st

from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Asked
from checks.questions.bank import Question
from checks.state.live import Live, State
from pages.session import beside_answer, deeds, opinions, progress, question_panel, room_view
from pages.session.walk import Walk
from pages.ui import attendance
from pages.web import typed_texts


def draw(live: Live, current: State, walk: Walk, effect: Callable[[Assessment], None]) -> Asked:
    """Draw a session; ``effect`` draws the effect of the answer, given the results before it. Returns what is asked.

    In a meeting room what is answered and its effect come first, and all else below the edge of the projector.
    """
    question = walk.current()
    asked = question.id, walk.scope(question)
    left, right = st.columns([7, 5], gap="large")
    with right:  # drawn first: the user waits for the effect
        effect(current.before(*asked))
    in_room = room_view.is_on()
    with left:
        question_panel.draw(live, current, walk, question)
        if not in_room:
            _more(live, current, walk, question, asked)
    progress.bar(walk)
    if in_room:
        _more(live, current, walk, question, asked)
    progress.onwards(live, current, walk)
    opinions.reveal(live, current, walk.asked())
    progress.listed(current, walk)
    if walk.system is not None:
        attendance.draw(live, current, walk.system, "Who is here")
    st.html(typed_texts.TAG, unsafe_allow_javascript=True)
    return asked


def _more(live: Live, current: State, walk: Walk, question: Question, asked: Asked) -> None:
    """Draw what can be done with the answer, what is kept beside it, and why the question matters."""
    deeds.draw(live, current, asked, walk.system)
    beside_answer.draw(live, current, asked)
    question_panel.reasons(walk, question)
