"""One question at a time: the part that both sessions share. Question, why, evidence, answer, stored at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import streamlit as st

from checks.access.roles import NotAllowed
from checks.assessment.answer_effects import Effect
from checks.assessment.answers import ByQuestion
from checks.journal.errors import StoreUnavailable
from checks.questions.bank import Question
from checks.recording import answering
from checks.recording.answering import AnsweredMeanwhile
from checks.state.live import Live, State
from checks.text.faults import Refused
from checks.text.number_format import factor
from pages.presentation.wording import ANSWERS, addressee, plain
from pages.ui import frame, messages, state

MOST_SIDE_BY_SIDE = 6
"""Addressees that are shown beside each other; more of them are a list."""
EMPTY = {"value": None, "evidence": "", "note": ""}
"""The three widgets of an answer, and what each shows without one."""


@dataclass(frozen=True, slots=True)
class _Box:
    """Where the three widgets of an answer belong."""

    live: Live
    question: str
    scope: str

    def named(self, widget: str) -> str:
        """Name of one of the three, by which the browser session knows it."""
        return f"{widget}_{self.live.key}_{self.question}_{self.scope}"


@dataclass(frozen=True, slots=True)
class Walk:
    """What a session walks through: its questions in order, the answers that hold, and of whom each may be answered.

    ``name`` tells it from other walks; ``scopes`` gives the addressees a question may be answered for, broadest first;
    ``own`` the one it is asked of; ``open_effects`` ranks the open questions; ``check`` holds a question against the plant data.
    """

    name: str
    questions: Sequence[Question]
    held: ByQuestion
    scopes: Callable[[Question], list[str]]
    own: Callable[[Question], str]
    open_effects: Callable[[], list[Effect]]
    check: Callable[[Question], str] = lambda _: ""

    def current(self) -> Question:
        """The question that the address names, else the one shown here last, else the first unanswered one.

        Without the second the screen would leap to another question as soon as this one is answered.
        """
        questions = {one.id: one for one in self.questions}
        unanswered = next((name for name in questions if name not in self.held), None)
        return questions[state.chosen("q", list(questions), unanswered, within=self.name)]

    def scope(self, question: Question) -> str:
        """Of whom the shown answer is given: as chosen here, else where the answer that holds came from."""
        options = self.scopes(question)
        picked = state.shown(f"scope_{question.id}")
        if picked in options:
            return str(picked)
        held = self.held.get(question.id)
        if held is not None:
            # An answer inherited from beyond (a cyber topic of the zone) is overridden at the nearest addressee.
            return held.of if held.of in options and held.question == question.id else options[-1]
        asked = self.own(question)
        return asked if asked in options else options[-1]


def draw(live: Live, now: State, walk: Walk, question: Question) -> None:
    """Draw the question panel."""
    at = [one.id for one in walk.questions].index(question.id)
    place = f"{question.section_title} · {question.id} · question {at + 1} of {len(walk.questions)}"
    st.caption(plain(place))
    with st.container(key="question"):
        st.markdown(f"### {plain(question.text)}")
    if question.official:
        st.caption(f"{plain(question.id)} in IEC 62443-3-3: {plain(question.official)}.")
    scope = _scope(now, walk, question)
    _answer(live, now, walk, question, scope, at)


def _scope(now: State, walk: Walk, question: Question) -> str:
    options = walk.scopes(question)
    current = walk.scope(question)
    if len(options) > MOST_SIDE_BY_SIDE:
        widget = state.inject(f"scope_{question.id}", current, current)
        st.selectbox(
            "This answer holds for",
            options,
            index=frame.place(options, widget.first),
            key=widget.key,
            format_func=lambda of: addressee(of, now.plant),
        )
    elif len(options) > 1:
        widget = state.inject(f"scope_{question.id}", current, current)
        st.segmented_control(
            "This answer holds for",
            options,
            default=widget.first if widget.first in options else None,
            key=widget.key,
            required=True,
            format_func=lambda of: plain(addressee(of, now.plant)),
            wrap=True,
        )
    return current


def _answer(live: Live, now: State, walk: Walk, question: Question, scope: str, at: int) -> None:
    own = now.stored.get((question.id, scope))
    fresh = own is None and (question.id, scope) in now.records.anew
    shown = None if fresh else now.given((question.id, scope)) or walk.held.get(question.id)
    seen = own.id if own else 0
    mark = (seen, fresh, shown and (shown.of, shown.value, shown.evidence, shown.note))
    box = _Box(live, question.id, scope)
    given = {
        name: state.inject(box.named(name), getattr(shown, name) if shown else empty, mark)
        for name, empty in EMPTY.items()
    }
    keys = {name: one.key for name, one in given.items()}
    st.segmented_control(
        "Answer",
        list(ANSWERS),
        default=given["value"].first,
        key=keys["value"],
        required=True,
        format_func=ANSWERS.__getitem__,
        wrap=True,
        on_change=_save,
        args=(box, keys, seen, "value"),
    )
    _status(now, walk, question, scope)
    _steps(walk, at)
    evidence = "; ".join(plain(one) for one in question.evidence)
    st.markdown(f"**Why it matters.** {plain(question.why)}\n\n**Look for:** {evidence}.")
    for said in filter(None, (walk.check(question), question.note)):
        st.caption(plain(said))
    st.text_input(
        "Evidence seen",
        given["evidence"].first,
        key=keys["evidence"],
        max_chars=2000,
        placeholder="Document, revision, date, what it shows",
        on_change=_save,
        args=(box, keys, seen, "evidence"),
    )
    st.text_area(
        "Note",
        given["note"].first,
        key=keys["note"],
        max_chars=2000,
        height=68,
        placeholder="Needed for a compensating measure and Does not apply: say why",
        on_change=_save,
        args=(box, keys, seen, "note"),
    )


def _status(now: State, walk: Walk, question: Question, scope: str) -> None:
    own = now.stored.get((question.id, scope))
    held = walk.held.get(question.id)
    if own is None and (question.id, scope) in now.records.anew:
        st.caption("A fresh start: the earlier answer stays hidden until this one is given. It still counts so long.")
    elif own is not None:
        who = plain(own.answer.by) or "somebody"
        answered = f" (answered {plain(own.answer.on)})" if own.answer.on and own.answer.on != own.at[:10] else ""
        said = f"Stored at {own.at[11:19]} UTC on {own.at[:10]} for {plain(addressee(scope, now.plant))}, by {who}{answered}."
        if held is not None and held.of != scope:
            said += f" What counts here is the answer of {plain(addressee(held.of, now.plant))}: {ANSWERS[held.value]}."
        st.caption(said)
    elif held is not None:
        cause = f" to {held.question}, the same question" if held.question != question.id else ""
        came = plain(addressee(held.of, now.plant))
        st.caption(f"Taken over from the answer of {came}{cause}. Answer here to say otherwise.")
    else:
        st.caption("Not answered yet: choosing an answer stores it at once.")


def _save(box: _Box, keys: Mapping[str, str], seen: int, moved: str) -> None:
    """Callback of one of the three widgets: store what they hold. ``seen`` numbers the answer that was shown with them."""
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
    try:
        stored = answering.record(box.live, state.person(), fields, seen=seen)
        if stored.id > seen and stored.writer != state.writer():
            messages.say("warning", f"{stored.answer.by or 'Somebody'} has just given the same answer.")
    except AnsweredMeanwhile as error:
        typed = " What you typed is still here." if _show_stored(box) else ""
        messages.say("warning", f"{error}.{typed}")
    except Refused as refused:
        if any(fault.place == "note" for fault in refused.faults):
            messages.say("warning", f"{ANSWERS[value]}: say in the note why, then it is stored.")
        else:
            messages.say("error", str(refused))
    except NotAllowed as error:
        _show_stored(box)
        messages.say("warning", f"Not stored: {error}.")
    except StoreUnavailable as error:
        _show_stored(box)
        messages.say("error", f"Not stored: {error}")


def _show_stored(box: _Box) -> bool:
    """Let the answer show what is stored, and leave what was typed; whether anything was."""
    state.forget(box.named("value"))
    return state.keep(box.named("evidence"), box.named("note"))


def _steps(walk: Walk, at: int) -> None:
    ids = [one.id for one in walk.questions]
    row = st.container(horizontal=True)
    row.button(
        "Previous",
        key="previous",
        disabled=at == 0,
        shortcut="p",
        on_click=_to,
        args=(ids[max(at - 1, 0)],),
    )
    row.button(
        "Next",
        key="next",
        disabled=at == len(ids) - 1,
        type="primary",
        shortcut="n",
        on_click=_to,
        args=(ids[min(at + 1, len(ids) - 1)],),
    )
    row.button(
        "Most decisive next",
        key="decisive",
        shortcut="d",
        on_click=_decisive,
        args=(walk, ids[at]),
        help="The open question whose best answer would move the worst function most.",
    )


def _to(question: str) -> None:
    state.move(q=question)


def _decisive(walk: Walk, current: str) -> None:
    ranked = [one for one in walk.open_effects() if one.question != current]
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
            f"No open answer alone moves {best.function}. {best.question} brings most: {best.points:g} points.",
        )
