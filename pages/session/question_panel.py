"""The question panel of both sessions: question, reason, evidence and answer, stored at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import streamlit as st

from checks.access.roles import NoName, NotAllowed
from checks.assessment.answer_effects import Effect
from checks.assessment.answers import ByQuestion
from checks.journal.errors import StoreUnavailable
from checks.questions.bank import Question
from checks.recording import answering
from checks.recording.answering import AnsweredMeanwhile
from checks.state.live import Live, State
from checks.text.faults import Refused
from checks.text.number_format import factor
from pages.presentation.wording import ANSWERS, addressee, escaped
from pages.ui import messages, places, state

MOST_SIDE_BY_SIDE = 6
"""Most addressees shown side by side; more are shown as a list."""
EMPTY = {"value": None, "evidence": "", "note": ""}
"""The three widgets of an answer, and their empty values."""


@dataclass(frozen=True, slots=True)
class _Box:
    """The question and addressee of the three widgets of an answer."""

    live: Live
    question: str
    scope: str

    def named(self, widget: str) -> str:
        """Key of a widget in the browser session."""
        return f"{widget}_{self.live.key}_{self.question}_{self.scope}"


@dataclass(frozen=True, slots=True)
class Walk:
    """The questions of a session in order, the effective answers, and the addressees of each question.

    ``name`` identifies the walk; ``scopes`` gives the addressees a question may be answered for, broadest first; ``own``
    the default one; ``open_effects`` ranks the open questions; ``check`` compares a question with the plant data.
    """

    name: str
    questions: Sequence[Question]
    answers: ByQuestion
    scopes: Callable[[Question], list[str]]
    own: Callable[[Question], str]
    open_effects: Callable[[], list[Effect]]
    check: Callable[[Question], str] = lambda _: ""

    def current(self) -> Question:
        """The question named in the URL, else the last one shown here, else the first unanswered one.

        The last one shown keeps the screen from jumping to another question when this one is answered.
        """
        questions = {question.id: question for question in self.questions}
        unanswered = next((name for name in questions if name not in self.answers), None)
        return questions[state.chosen("q", list(questions), unanswered, within=self.name)]

    def scope(self, question: Question) -> str:
        """The addressee of the shown answer: as selected here, else that of the effective answer."""
        options = self.scopes(question)
        picked = state.shown(f"scope_{question.id}")
        if picked in options:
            return str(picked)
        answer = self.answers.get(question.id)
        if answer is not None:
            # An answer inherited from outside (a cyber topic of the zone) is overridden at the most specific addressee.
            return answer.of if answer.of in options and answer.question == question.id else options[-1]
        asked = self.own(question)
        return asked if asked in options else options[-1]


def draw(live: Live, current: State, walk: Walk, question: Question) -> None:
    """Draw the question panel."""
    position = [listed.id for listed in walk.questions].index(question.id)
    place = f"{question.section_title} · {question.id} · question {position + 1} of {len(walk.questions)}"
    st.caption(escaped(place))
    with st.container(key="question"):
        st.markdown(f"### {escaped(question.text)}")
    if question.official:
        st.caption(f"{escaped(question.id)} in IEC 62443-3-3: {escaped(question.official)}.")
    scope = _scope(current, walk, question)
    _answer(live, current, walk, question, scope, position)


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


def _answer(live: Live, current: State, walk: Walk, question: Question, scope: str, position: int) -> None:
    own = current.stored.get((question.id, scope))
    fresh = own is None and (question.id, scope) in current.records.to_answer_again
    shown = None if fresh else current.answer_to_repeat((question.id, scope)) or walk.answers.get(question.id)
    seen = own.id if own else 0
    mark = (seen, fresh, shown and (shown.of, shown.value, shown.evidence, shown.note))
    box = _Box(live, question.id, scope)
    widgets = {
        name: state.inject(box.named(name), getattr(shown, name) if shown else empty, mark)
        for name, empty in EMPTY.items()
    }
    keys = {name: widget.key for name, widget in widgets.items()}
    st.segmented_control(
        "Answer",
        list(ANSWERS),
        default=widgets["value"].first,
        key=keys["value"],
        required=True,
        format_func=ANSWERS.__getitem__,
        wrap=True,
        on_change=_save,
        args=(box, keys, seen, "value"),
    )
    _status(current, walk, question, scope)
    messages.answered(box.named("answer"))
    _steps(walk, position)
    evidence = "; ".join(escaped(example) for example in question.evidence)
    st.markdown(f"**Why it matters.** {escaped(question.why)}\n\n**Look for:** {evidence}.")
    for text in filter(None, (walk.check(question), question.note)):
        st.caption(escaped(text))
    st.text_input(
        "Evidence seen",
        widgets["evidence"].first,
        key=keys["evidence"],
        max_chars=2000,
        placeholder="Document, revision, date, what it shows",
        on_change=_save,
        args=(box, keys, seen, "evidence"),
    )
    st.text_area(
        "Note",
        widgets["note"].first,
        key=keys["note"],
        max_chars=2000,
        height=68,
        placeholder="Give the reason for a compensating measure or Does not apply",
        on_change=_save,
        args=(box, keys, seen, "note"),
    )


def _status(current: State, walk: Walk, question: Question, scope: str) -> None:
    own = current.stored.get((question.id, scope))
    effective = walk.answers.get(question.id)
    if own is None and (question.id, scope) in current.records.to_answer_again:
        st.caption("Blind round: the earlier answer stays hidden until you answer. It counts until then.")
    elif own is not None:
        who = escaped(own.answer.by) or "somebody"
        answered = f" (answered {escaped(own.answer.on)})" if own.answer.on and own.answer.on != own.at[:10] else ""
        text = f"Stored at {own.at[11:19]} UTC on {own.at[:10]} for {escaped(addressee(scope, current.plant))}, by {who}{answered}."
        if effective is not None and effective.of != scope:
            text += f" The answer of {escaped(addressee(effective.of, current.plant))} applies here: {ANSWERS[effective.value]}."
        st.caption(text)
    elif effective is not None:
        cause = f" to {effective.question}, the same question" if effective.question != question.id else ""
        source = escaped(addressee(effective.of, current.plant))
        st.caption(f"Inherited from the answer of {source}{cause}. Answer here to override it.")
    else:
        st.caption("Not answered yet: selecting an answer stores it at once.")


def _save(box: _Box, keys: Mapping[str, str], seen: int, moved: str) -> None:
    """Callback of the three widgets: store the answer. ``seen`` is the number of the stored answer shown, 0 for none."""
    value = state.get(keys["value"])
    if not state.changed(keys[moved]) or value is None:
        return
    fields = {
        "question": box.question,
        "of": box.scope,
        "value": value,
        "evidence": state.get(keys["evidence"], ""),
        "note": state.get(keys["note"], ""),
        "on": date.today().isoformat(),  # noqa: DTZ011  (the day on the wall of the meeting room)
    }
    _store(box, fields, seen)


def _store(box: _Box, fields: dict[str, Any], seen: int) -> None:
    """Store an answer, or keep a message on why it was not stored; without a name it waits for one."""
    try:
        stored = answering.record(box.live, state.person(), fields, seen=seen)
        if stored.id > seen and stored.writer != state.writer():
            messages.say("warning", f"{stored.answer.by or 'Somebody'} has just given the same answer.")
    except AnsweredMeanwhile as error:
        typed = " What you typed is still here." if _show_stored(box) else ""
        messages.say("warning", f"{error}.{typed}")
    except Refused as refused:
        if any(fault.place == "note" for fault in refused.faults):
            messages.say("warning", f"{ANSWERS[fields['value']]}: give the reason in the note, then it is stored.")
        else:
            messages.say("error", str(refused))
    except NoName:
        what = f"{box.question}: {ANSWERS[fields['value']]} is not stored yet. Everything recorded here carries a name"
        messages.ask_name(what, lambda: _store(box, fields, seen), box.named("answer"))
    except NotAllowed as error:
        _show_stored(box)
        messages.say("warning", f"Not stored: {error}.")
    except StoreUnavailable as error:
        _show_stored(box)
        messages.say("error", f"Not stored: {error}")


def _show_stored(box: _Box) -> bool:
    """Show the stored answer and keep the typed texts; returns whether there were any."""
    state.forget(box.named("value"))
    return state.keep(box.named("evidence"), box.named("note"))


def _steps(walk: Walk, position: int) -> None:
    ids = [question.id for question in walk.questions]
    row = st.container(horizontal=True)
    row.button(
        "Previous",
        key="previous",
        disabled=position == 0,
        shortcut="p",
        on_click=_to,
        args=(ids[max(position - 1, 0)],),
    )
    row.button(
        "Next",
        key="next",
        disabled=position == len(ids) - 1,
        type="primary",
        shortcut="n",
        on_click=_to,
        args=(ids[min(position + 1, len(ids) - 1)],),
    )
    row.button(
        "Most decisive next",
        key="decisive",
        shortcut="d",
        on_click=_decisive,
        args=(walk, ids[position]),
        help="The open question whose best answer would improve the worst safety function most.",
    )


def _to(question: str) -> None:
    state.move(q=question)


def _decisive(walk: Walk, current: str) -> None:
    ranked = [effect for effect in walk.open_effects() if effect.question != current]
    if not ranked:
        messages.say("success", "Every question has an answer.")
        return
    best = ranked[0]
    state.move(q=best.question)
    if best.gain > 1.0:
        messages.say(
            "success", f"{best.question}: met, it would improve {best.function} by a factor {factor(best.gain)}."
        )
    else:
        messages.say(
            "success",
            f"No single answer changes {best.function}. {best.question} gains most: {best.points:g} points.",
        )
