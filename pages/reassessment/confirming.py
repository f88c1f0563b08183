"""Answers to confirm, looked at topic by topic, and plant data to check after a change."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import Person
from checks.plantfile.places import entry_of, value_at
from checks.plantfile.plant import Asked
from checks.questions.bank import banks
from checks.reassessment import confirmations, data_checks, kinds_of_change
from checks.reassessment.confirmations import MOST_AT_ONCE
from checks.state import plant_data_waiting
from checks.state.live import Live, State
from pages.presentation.wording import ANSWERS, addressee, counted, escaped, small_print
from pages.ui import state, tables
from pages.ui.forms import Form, Told


def draw(live: Live, current: State, system: str, person: Person) -> None:
    """Draw the answers to confirm: those of one topic at a time, each with a box to tick."""
    by_topic = confirmations.topics_waiting(current, system)
    total = len({asked for answers in by_topic.values() for asked in answers})
    st.markdown(f"### {counted(total, 'answer')} to confirm")
    if not total:
        st.caption("No answer of this system waits for confirmation.")
        return
    names = {key: f"{key} {kinds_of_change.topics()[key].name} ({len(answers)})" for key, answers in by_topic.items()}
    topic = st.selectbox("Topic", list(names), key="topic", format_func=names.__getitem__) or next(iter(by_topic))
    answers = by_topic[topic]
    if not person.may("confirm an answer"):
        rows = [_row(current, asked) for asked in answers]
        tables.table(rows, key="waiting", alt="Answers to confirm")
        return
    shown = answers[:MOST_AT_ONCE]
    form = Form("confirm", (topic, tuple(shown)), outside=True)
    form.drawn_for("topic", "topic", topic, "check its answers first")
    for asked in shown:
        _answer(current, form, asked)
    if len(answers) > len(shown):
        st.caption(f"{len(answers) - len(shown)} more on this topic follow after these.")
    st.caption("Tick what you have checked and is still right. Is it not? Answer the question again in its session.")
    form.button(
        "Confirm the ticked answers",
        lambda fields: confirmations.confirm_answers(live, state.person(), _ticked(fields, shown), topic=topic),
        "The ticked answers are confirmed.",
        type="primary",
    )


def _answer(current: State, form: Form, asked: Asked) -> None:
    cause, answer = current.records.to_confirm[asked], current.stored[asked].answer
    question = banks().questions[asked[0]]
    st.checkbox(
        f"**{escaped(asked[0])}** of {escaped(addressee(asked[1], current.plant))}: **{ANSWERS[answer.value]}** · "
        f"{escaped(question.text or question.title)}",
        key=form.key(f"{asked[0]} {asked[1]}"),
    )
    evidence = f"Evidence: {answer.evidence}" if answer.evidence else "No evidence text"
    st.markdown(small_print(escaped(f"{evidence}. Affected on {cause.day} by: {cause.what}")))


def _ticked(fields: Told, shown: list[Asked]) -> list[Asked]:
    return [asked for asked in shown if fields[f"{asked[0]} {asked[1]}"]]


def _row(current: State, asked: Asked) -> dict[str, str]:
    cause, answer = current.records.to_confirm[asked], current.stored[asked].answer
    question = banks().questions[asked[0]]
    return {
        "Question": asked[0],
        "Of": addressee(asked[1], current.plant),
        "Text": question.text or question.title,
        "Answer": ANSWERS[answer.value],
        "Evidence": answer.evidence,
        "Affected since": cause.day,
        "Affected by": cause.what,
    }


def plant_data(live: Live, current: State, system: str, person: Person) -> None:
    """Draw the plant data that a change may have made wrong; nothing where none wait."""
    waiting = plant_data_waiting.of_system(current, system)
    if not waiting:
        return
    st.markdown(f"### {counted(len(waiting), 'plant data field')} to check")
    st.caption("They block a signature until somebody has checked them here or changed them under Set up.")
    rows = [
        {
            "Plant data": place,
            "Present value": _present(current, place),
            "Since": data.cause.day,
            "Because of": data.cause.what,
        }
        for place, data in waiting.items()
    ]
    tables.table(rows, key="data_waiting", alt="Plant data to check")
    if not person.may("record a change"):
        return
    form = Form("data", (system, tuple(waiting)), outside=True)
    left, right = st.columns([3, 2])
    with left:
        st.multiselect("Checked and right", list(waiting), key=form.key("places", waiting))
    with right:
        st.text_input(
            "Checked against", key=form.key("how"), max_chars=2000, placeholder="data sheet H-301, revision 4"
        )
    form.button(
        "These data are right",
        lambda fields: data_checks.confirm_data(
            live, state.person(), fields["places"], system=system, how=fields["how"]
        ),
        "The data are on record as checked.",
    )


def _present(current: State, place: str) -> str:
    value = value_at(current.plant, place)
    if not entry_of(place)[1]:
        return counted(len(value), "row")
    return str(value)
