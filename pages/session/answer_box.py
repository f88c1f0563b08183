"""The widgets of an answer: its value, evidence and note, each stored at once.

A value and its author are never mixed up: where somebody else's answer arrives while a question is open here, texts
typed here are stored with it only after the reader says so.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import streamlit as st

from checks.access.roles import NoName, NotAllowed
from checks.events.answering.answer import StoredAnswer
from checks.journal.errors import StoreUnavailable
from checks.plantfile.consistency import NEEDS_NOTE
from checks.recording import answering
from checks.recording.answering import AnsweredMeanwhile
from checks.state.live import Live, State
from checks.text.faults import Refused
from pages.presentation.wording import ANSWERS, answer_label, author, escaped
from pages.session.steps import PLACE
from pages.session.walk import Walk
from pages.ui import messages, state

EMPTY = {"value": None, "evidence": "", "note": ""}
"""The three widgets of an answer, and their empty values."""
TEXTS = ("evidence", "note")
VISIT = "visit"


@dataclass(frozen=True, slots=True)
class _Visit:
    """The question open in this browser, its stored answer when it was last drawn, and whether somebody else changed it.

    ``overtaken`` holds until the reader leaves the question, answers it, or decides about the typed texts.
    """

    name: str
    seen: int
    value: str | None
    overtaken: bool


@dataclass(frozen=True, slots=True)
class AnswerBox:
    """The widgets of one answer as drawn: their keys, the value ``shown``, the number ``seen`` of its event, 0 for none."""

    live: Live
    question: str
    scope: str
    seen: int
    own: StoredAnswer | None
    shown: str | None
    overtaken: bool
    first: Mapping[str, str | None]
    keys: Mapping[str, str]

    @property
    def chosen(self) -> str | None:
        """The value that the reader chose, stored or not."""
        value: str | None = state.get(self.keys["value"], self.first["value"])
        return value

    @property
    def note(self) -> str:
        """The note as typed."""
        return str(state.get(self.keys["note"], self.first["note"]) or "")

    @property
    def lacks_reason(self) -> bool:
        """Whether the chosen value waits for its reason: a note that was written for another value is none."""
        if self.chosen not in NEEDS_NOTE or self.chosen == self.shown:
            return False
        return not self.note.strip() or not state.typed(self.named("note"))

    @property
    def asks(self) -> bool:
        """Whether texts typed here wait for a decision, because somebody else answered meanwhile."""
        return self.overtaken and self.own is not None and bool(state.typed(*map(self.named, TEXTS)))

    def named(self, widget: str) -> str:
        """Name of a widget, under which ``state`` keeps its stored value."""
        return _named(self.live, self.question, self.scope, widget)


def _named(live: Live, question: str, scope: str, widget: str) -> str:
    return f"{widget}_{live.key}_{question}_{scope}"


def prepared(live: Live, current: State, walk: Walk, question: str, scope: str) -> AnswerBox:
    """The widgets of the answer to a question for an addressee, filled with what is stored."""
    own = current.stored.get((question, scope))
    fresh = own is None and (question, scope) in current.records.to_answer_again
    shown = None if fresh else current.answer_to_repeat((question, scope)) or walk.answers.get(question)
    seen = own.id if own else 0
    names = {widget: _named(live, question, scope, widget) for widget in EMPTY}
    overtaken = _visited(names, own)
    mark = (seen, fresh, shown and (shown.of, shown.value, shown.evidence, shown.note))
    widgets = {
        widget: state.inject(names[widget], getattr(shown, widget) if shown else empty, mark)
        for widget, empty in EMPTY.items()
    }
    first = {widget: given.first for widget, given in widgets.items()}
    keys = {widget: given.key for widget, given in widgets.items()}
    return AnswerBox(live, question, scope, seen, own, shown.value if shown else None, overtaken, first, keys)


def _visited(names: Mapping[str, str], own: StoredAnswer | None) -> bool:
    """Whether somebody else's answer arrived since this question was opened here, and nothing was decided since."""
    seen, value = (own.id, own.answer.value) if own else (0, None)
    last: _Visit | None = state.get(VISIT)
    overtaken = False
    if last is not None and last.name == names["value"] and not (own and own.writer == state.writer()):
        overtaken = last.overtaken
        if seen != last.seen:
            typed = state.keep(*(names[widget] for widget in TEXTS))
            overtaken = overtaken or typed or value != last.value
    state.put(VISIT, _Visit(names["value"], seen, value, overtaken))
    return overtaken


def values(box: AnswerBox, answers: Sequence[str]) -> None:
    """Draw the answers to choose from."""
    st.segmented_control(
        "Answer",
        answers,
        default=box.first["value"],
        key=box.keys["value"],
        required=True,
        format_func=answer_label,
        wrap=True,
        on_change=_save,
        args=(box, "value"),
        label_visibility="collapsed",
    )


def texts(box: AnswerBox) -> None:
    """Draw the boxes for evidence and note side by side."""
    row = st.container(horizontal=True, key="texts")
    row.text_input(
        "Evidence seen",
        box.first["evidence"],
        key=box.keys["evidence"],
        max_chars=2000,
        placeholder="Document, revision, date, what it shows",
        on_change=_save,
        args=(box, "evidence"),
    )
    row.text_area(
        "Reason, needed to store this answer" if box.lacks_reason else "Note",
        box.first["note"],
        key=box.keys["note"],
        max_chars=2000,
        height=68,
        placeholder="Give the reason for a compensating measure or Does not apply",
        on_change=_save,
        args=(box, "note"),
    )


def undecided(box: AnswerBox) -> bool:
    """Draw what the answer waits for: its reason, or a decision about the texts typed here; returns whether it waits."""
    if not (box.asks or box.lacks_reason):
        return False
    row = st.container(
        horizontal=True, vertical_alignment="center", key="waits"
    )  # beside each other: no higher than a message
    if box.asks and box.own is not None:
        who = escaped(author(box.own.answer.by or "Somebody", box.own.recorded_by))
        value = ANSWERS[box.own.answer.value]
        row.warning(f"{who} answered **{value}** meanwhile. What you typed is not stored yet.")
        row.button("Store my text", key="with_theirs", on_click=_record, args=(box, box.own.answer.value))
        row.button("Discard it", key="discard_mine", on_click=_discard, args=(box,))
        return True
    row.warning(escaped(f"{ANSWERS[box.chosen]}: give the reason in the note, then it is stored."))  # type: ignore[index]
    if box.note.strip():
        row.button("The note gives it", key="reason_given", on_click=_record, args=(box, box.chosen))
    return True


def _save(box: AnswerBox, moved: str) -> None:
    """Callback of the three widgets: store the answer, unless the typed text would go with somebody else's value."""
    value = state.get(box.keys["value"])
    if not state.changed(box.keys[moved]) or value is None or (moved in TEXTS and box.overtaken):
        return
    if not (moved == "value" and box.lacks_reason):
        _record(box, value)


def _discard(box: AnswerBox) -> None:
    state.forget(*map(box.named, TEXTS))
    state.take(VISIT)


def _record(box: AnswerBox, value: str) -> None:
    """Store the answer with the texts as typed. ``seen`` makes a conflict with another answer known."""
    fields: dict[str, Any] = {
        "question": box.question,
        "of": box.scope,
        "value": value,
        **{widget: state.get(box.keys[widget], "") for widget in TEXTS},
        "on": date.today().isoformat(),  # noqa: DTZ011  (the day on the wall of the meeting room)
    }
    try:
        stored = answering.record(box.live, state.person(), fields, seen=box.seen)
        if stored.id > box.seen and stored.writer != state.writer():
            messages.say("warning", f"{stored.answer.by or 'Somebody'} has just given the same answer.", PLACE)
    except AnsweredMeanwhile as error:
        if not _show_stored(box):  # with typed texts the reader is asked about them
            messages.say("warning", f"{error}.", PLACE)
    except Refused as refused:
        if any(
            fault.place != "note" for fault in refused.faults
        ):  # a missing reason is asked for as long as it is missing
            messages.say("error", str(refused), PLACE)
    except NoName:
        what = f"{box.question}: {ANSWERS[fields['value']]} is not stored yet. Everything recorded here carries a name"
        messages.ask_name(what, lambda: _record(box, value), PLACE)
    except NotAllowed as error:
        _show_stored(box)
        messages.say("warning", f"Not stored: {error}.", PLACE)
    except StoreUnavailable as error:
        _show_stored(box)
        messages.say("error", f"Not stored: {error}", PLACE)


def _show_stored(box: AnswerBox) -> bool:
    """Show the stored answer and keep the typed texts; returns whether there were any."""
    state.forget(box.named("value"))
    return state.keep(*map(box.named, TEXTS))
