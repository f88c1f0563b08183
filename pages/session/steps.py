"""Moving through a session: to the question before or after, the most decisive one, the place before or after."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from checks.plantfile.plant import Asked
from checks.progress import next_question
from checks.questions.bank import Question
from checks.state.live import Live, State
from pages.session import room_view
from pages.session.walk import Walk, leading_to
from pages.ui import messages, state

PLACE = "session"
"""Place of the messages of a session, whose height is reserved."""


def draw(live: Live, current: State, walk: Walk, position: int) -> None:
    """Draw the steps from the question at a position: previous, next, most decisive."""
    ids = [question.id for question in walk.questions]
    passing = _passing(current, walk, walk.questions[position])
    row = st.container(horizontal=True, key="steps")
    row.button(
        "Previous",
        key="previous",
        disabled=position == 0,
        shortcut="p",
        on_click=_to,
        args=(live, ids[max(position - 1, 0)], ()),
    )
    row.button(
        "Next",
        key="next",
        disabled=position == len(ids) - 1,
        type="primary",
        shortcut="n",
        on_click=_to,
        args=(live, ids[min(position + 1, len(ids) - 1)], passing),
    )
    row.button(
        "Most decisive next",
        key="decisive",
        shortcut="d",
        on_click=_decisive,
        args=(live, current, walk, ids[position], passing),
        help="The open question whose best answer would improve the worst safety function most, here or at the next place.",
    )


def between(keys: Sequence[str], key: str, name: str) -> None:
    """Draw the steps to the group or zone before and after this one, and to the other view; ``name`` is its query parameter."""
    at = keys.index(key)
    for label, other in (("Previous", at - 1), ("Next", at + 1)):
        inside = 0 <= other < len(keys)
        st.button(
            f"{label} {name}",
            key=f"{label.lower()}_{name}",
            disabled=not inside,
            on_click=_to_place,
            args=(name, keys[other] if inside else key),
        )
    room_view.switch()


def passed(live: Live) -> frozenset[Asked]:
    """Questions of this plant that were left without an answer in this browser session."""
    asked: frozenset[Asked] = state.get(f"passed {live.key}", frozenset())
    return asked


def _passing(current: State, walk: Walk, question: Question) -> tuple[Asked, ...]:
    """What is noted when this question is left: nothing where it has an answer."""
    if next_question.is_settled(current.assessment, walk.place, question.id):
        return ()
    return (question.id, walk.place.addressee), (question.id, walk.scope(question))


def _note(live: Live, passing: tuple[Asked, ...]) -> None:
    state.put(f"passed {live.key}", passed(live).union(passing))


def _to(live: Live, question: str, passing: tuple[Asked, ...]) -> None:
    _note(live, passing)
    state.move(q=question)


def _to_place(name: str, key: str) -> None:
    state.move(**{name: key, "q": None})


def _decisive(live: Live, current: State, walk: Walk, shown: str, passing: tuple[Asked, ...]) -> None:
    _note(live, passing)
    best = next_question.most_decisive(current, walk.place, shown, system=walk.system, passed=passed(live))
    if best.place is not None:
        elsewhere = {} if best.place == walk.place else {"method": None}
        state.move(**leading_to(best.place, best.question), **elsewhere)
    messages.say("success", best.text, PLACE)
