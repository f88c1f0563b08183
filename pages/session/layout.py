"""The parts of a session on its screen: question and answer at the left, their effect at the right, progress below."""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st

from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Asked
from checks.state.live import Live, State
from pages.session import evidence_forms, progress, question_panel, room_view
from pages.session.walk import Walk


def draw(live: Live, current: State, walk: Walk, effect: Callable[[Assessment], None]) -> Asked:
    """Draw a session; ``effect`` draws the effect of the answer, given the results before it. Returns what is asked.

    In a meeting room what is answered and its effect come first, and all else below the edge of the projector.
    """
    question = walk.current()
    asked = question.id, walk.scope(question)
    left, right = st.columns([7, 5], gap="large")
    with right, st.container(key="effect"):  # drawn first: the user waits for the effect
        effect(current.before(*asked))
    with left:
        question_panel.draw(live, current, walk, question)
        if not room_view.is_on():
            question_panel.reasons(walk, question)
            evidence_forms.draw(live, current, asked)
    progress.bar(walk)
    if room_view.is_on():
        question_panel.reasons(walk, question)
        evidence_forms.draw(live, current, asked)
    progress.onwards(live, current, walk)
    evidence_forms.reveal(live, current, walk.asked())
    progress.listed(current, walk)
    return asked
