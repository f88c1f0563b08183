"""The question panel of both sessions: question, addressee, answer, steps, and what was stored."""

from __future__ import annotations

import streamlit as st

from checks.questions.bank import Question
from checks.signoff import revisions
from checks.state.live import Live, State
from checks.state.revision_status import HALVES
from pages.presentation.local_time import local
from pages.presentation.wording import ANSWERS, addressee, answer_label, author, escaped, paragraphs, small_print
from pages.session import answer_box, steps
from pages.session.walk import Walk
from pages.ui import messages, places, state

MOST_SIDE_BY_SIDE = 6
"""Most addressees shown side by side; more are shown as a list."""


def draw(live: Live, current: State, walk: Walk, question: Question) -> None:
    """Draw the question panel."""
    position = [listed.id for listed in walk.questions].index(question.id)
    place = f"{question.section_title} · {question.id} · question {position + 1} of {len(walk.questions)}"
    lines = [small_print(escaped(place)), f"### {escaped(question.text)}"]
    if question.official:
        lines.append(small_print(escaped(f"{question.id} in IEC 62443-3-3: {question.official}.")))
    if question.choices:
        meanings = (f"- **{answer_label(level)}:** {escaped(meaning)}" for level, meaning in question.choices)
        lines.append("\n".join(meanings))
    with st.container(key="question"):
        st.markdown(paragraphs(*lines))
    scope = _scope(current, walk, question)
    box = answer_box.prepared(live, current, walk, question.id, scope)
    answer_box.values(box, question.answers)
    steps.draw(live, current, walk, position)
    with st.container(key="said"):  # below what is pressed, and its height is reserved: a message moves nothing
        if not answer_box.undecided(box):
            messages.answered(steps.PLACE)
            _status(current, walk, question, scope)
    answer_box.texts(box)


def reasons(walk: Walk, question: Question) -> None:
    """Draw why a question matters, the evidence to look for, and a cross-check with the plant data."""
    evidence = "; ".join(escaped(example) for example in question.evidence)
    remarks = map(small_print, map(escaped, filter(None, (walk.check(question), question.note))))
    why = f"**Why it matters.** {escaped(question.why)}"
    st.markdown(paragraphs(why, f"**Look for:** {evidence}.", *remarks))


def _scope(current: State, walk: Walk, question: Question) -> str:
    options = walk.scopes(question)
    chosen = walk.scope(question)
    if len(options) > MOST_SIDE_BY_SIDE:
        widget = state.inject(f"scope_{question.id}", chosen, chosen)
        st.selectbox(
            "This answer applies to",
            options,
            index=places.index(options, widget.first),
            key=widget.key,
            format_func=lambda of: addressee(of, current.plant),
        )
    elif len(options) > 1:
        widget = state.inject(f"scope_{question.id}", chosen, chosen)
        st.segmented_control(
            "This answer applies to",
            options,
            default=widget.first if widget.first in options else None,
            key=widget.key,
            required=True,
            format_func=lambda of: escaped(addressee(of, current.plant)),
            wrap=True,
        )
    return chosen


def _status(current: State, walk: Walk, question: Question, scope: str) -> None:
    own = current.stored.get((question.id, scope))
    effective = walk.answers.get(question.id)
    if own is None and (question.id, scope) in current.records.to_answer_again:
        text = "Blind round: the earlier answer stays hidden until you answer. It counts until then."
    elif own is not None:
        who = escaped(author(own.answer.by, own.recorded_by))
        day, clock = local(own.at, st.context.timezone)
        answered = (
            f" (answered {escaped(own.answer.on)})" if own.answer.on and own.answer.on not in (day, own.at[:10]) else ""
        )
        text = f"Stored at {clock} on {day} for {escaped(addressee(scope, current.plant))}, by {who}{answered}."
        if effective is not None and effective.of != scope:
            text += f" The answer of {escaped(addressee(effective.of, current.plant))} applies here: {ANSWERS[effective.value]}."
        if (confirmed := current.records.confirmed.get((question.id, scope))) is not None:
            text += f" Confirmed on {confirmed.day} by {escaped(confirmed.by or 'somebody')}."
    elif effective is not None:
        cause = f" to {effective.question}, the same question" if effective.question != question.id else ""
        source = escaped(addressee(effective.of, current.plant))
        text = f"Inherited from the answer of {source}{cause}. Answer here to override it."
    else:
        text = "Not answered yet: selecting an answer stores it at once."
    st.caption(f"{text}{_signed(current, scope)}")


def _signed(current: State, scope: str) -> str:
    """Which signatures rest on the answers of an addressee, as a sentence; empty where none do."""
    resting = revisions.resting_on(current, scope)
    if not resting:
        return ""
    halves = "; ".join(
        f"{'both halves' if len(signed) == len(HALVES) else f'the {signed[0]} half'} of {escaped(system)}"
        for system, signed in resting.items()
    )
    return f" **Signed:** changing this answer invalidates {halves}."
