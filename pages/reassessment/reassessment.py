"""Re-assessment: next due date, answers to confirm, and recording of changes and failures."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import Person
from checks.plantfile.plant import Asked
from checks.questions.bank import banks
from checks.reassessment import reassessments, reopening, schedule
from checks.reassessment.reopening import Change
from checks.state.live import Live, State
from checks.visibility import blind_round
from pages.presentation.wording import ANSWERS, addressee, counted, escaped, titled
from pages.reassessment import failures
from pages.ui import frame, places, state, tables
from pages.ui.forms import Form, Told, days

MOST_DATA = 12
"""Plant data named in the consequences of a change."""


def _draw(live: Live, current: State) -> None:
    names = {key: titled(key, system.name) for key, system in current.systems.items()}
    if not names:
        frame.nothing_to_choose(current, "safety system")
        return
    system = places.choose("Safety system", "system", names)
    person = state.person()
    _due(live, current, system, person)
    frame.method_note(current)
    _to_confirm(live, current, system, person)
    _blind_round(current, system)
    left, right = st.columns(2, gap="large")
    with left:
        _change(live, current, person)
    with right:
        failures.draw(live, current, person)
    _history(current, system)


def _due(live: Live, current: State, system: str, person: Person) -> None:
    signed = current.records.signed(system)
    months = current.records.intervals.get(system, schedule.USUAL_MONTHS)
    if signed is None:
        st.markdown(f"## {escaped(system)} has no complete sign-off yet")
        st.markdown("The due date is counted from the day on which both halves are signed.")
        return
    due = reassessments.due(current, signed)
    st.markdown(f"## {escaped(system)}: next assessment {schedule.state(due, current.day)}")
    st.markdown(f"Due on {due.isoformat()}, {months} months after revision {signed.number} was signed.")
    row = st.container(horizontal=True)
    if person.may("set an interval"):
        with row.popover("Interval"):
            form = Form("interval", system, outside=True)
            st.number_input("Months", 1, schedule.LONGEST_MONTHS, months, key=form.key("months"))
            form.button(
                "Save interval",
                lambda fields: schedule.set_interval(live, state.person(), system=system, months=int(fields["months"])),
                "Interval saved.",
            )
    if person.may("begin a re-assessment"):
        with row:
            Form("begin", system, outside=True).button(
                "Start the next assessment",
                lambda _: reassessments.begin_assessment(live, state.person(), system),
                "The next assessment has started.",
            )


def _to_confirm(live: Live, current: State, system: str, person: Person) -> None:
    by_topic = reassessments.topics_waiting(current, system)
    total = len({asked for answers in by_topic.values() for asked in answers})
    st.markdown(f"### {counted(total, 'answer')} to confirm")
    if not total:
        st.caption("No answer of this system waits for confirmation.")
        return
    names = {key: f"{key} {reopening.topics()[key].name} ({len(answers)})" for key, answers in by_topic.items()}
    topic = st.selectbox("Topic", list(names), key="topic", format_func=names.__getitem__)
    answers = by_topic[topic or next(iter(by_topic))]
    rows = [_row(current, asked) for asked in answers]
    tables.table(rows, key="waiting", alt="Answers to confirm")
    if person.may("confirm an answer"):
        _confirm(live, answers, topic or "")


def _confirm(live: Live, answers: list[Asked], topic: str) -> None:
    """Draw the forms that confirm one answer, or all answers of one topic."""
    st.caption("Check each answer. If it is no longer valid, answer the question again in its session.")
    left, right = st.columns([3, 2], vertical_alignment="bottom")
    with left:
        form = Form("confirm_one", outside=True)
        form.drawn_for("topic", "topic", topic, "check its answers first")
        st.selectbox(
            "Answer", answers, key=form.key("one", answers), format_func=lambda asked: f"{asked[0]} of {asked[1]}"
        )
        form.button(
            "Confirm this answer",
            lambda fields: reassessments.confirm_answers(live, state.person(), list(filter(None, [fields["one"]]))),
            "The answer is confirmed.",
        )
    with right:
        form = Form("confirm_all", topic, outside=True)
        form.drawn_for("topic", "topic", topic, "check its answers first")
        form.button(
            f"Confirm all {len(answers)} on this topic",
            lambda _: reassessments.confirm_answers(live, state.person(), answers, topic=topic),
            f"{len(answers)} answers on topic {topic} are confirmed.",
        )


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


def _blind_round(current: State, system: str) -> None:
    questions = blind_round.questions_to_answer(current, system)
    if questions:
        st.markdown(f"### {counted(len(questions), 'question')} to answer again")
        st.caption(
            "Blind round: earlier answers stay hidden from the team until the questions are answered again, "
            "to avoid anchoring."
        )


def _change(live: Live, current: State, person: Person) -> None:
    st.markdown("### Record a change")
    if not person.may("record a change"):
        st.caption("Changes are recorded by a team member, the facilitator or the asset owner (duty holder).")
        return
    kinds, form = reopening.kinds(), Form("change", outside=True)
    kind = st.selectbox(
        "Kind of change", list(kinds), key=form.key("kind"), index=None, format_func=lambda key: kinds[key].name
    )
    if kind is None:
        return
    form.drawn_for("kind", form.key("kind"), kind, "check its questions first")
    kind_of_change = kinds[kind]
    st.caption(escaped(kind_of_change.why))
    if kind_of_change.caution:
        st.warning(escaped(kind_of_change.caution))
    addressees = _addressees(current)
    touched = st.multiselect("What it affects", addressees, key=form.key("touched", addressees))
    named = st.multiselect(
        "Topics of the cause" if kind_of_change.topic_of_cause else "Further topics",
        list(reopening.topics()),
        key=form.key("named"),
        format_func=lambda key: f"{key} {reopening.topics()[key].name}",
    )
    # A key per kind: unticking the condition of one kind must not untick that of another.
    condition = kind_of_change.only_if
    holds = condition is None or st.checkbox(condition.condition, value=True, key=form.key(f"holds {kind}"))
    left, right = st.columns(2)
    left.text_input("Reference, such as the change number", key=form.key("reference"), max_chars=200)
    right.date_input("Date", value=current.day, key=form.key("on"), format="YYYY-MM-DD")
    st.text_input("What was changed", key=form.key("what"), max_chars=2000)
    if touched:
        _consequences(current, Change(kind, frozenset(touched), frozenset(named), condition_holds=holds))
    form.button(
        "Record this change",
        lambda fields: _record(live, kind, fields),
        "The change is recorded. The answers it affects are to be confirmed.",
        type="primary",
        disabled=not touched,
    )


def _record(live: Live, kind: str, fields: Told) -> None:
    change = Change(
        kind,
        frozenset(fields["touched"]),
        frozenset(fields["named"]),
        condition_holds=bool(fields.get(f"holds {kind}", True)),
    )
    description = {"reference": fields["reference"], "on": days(fields, "on")["on"], "what": fields["what"]}
    reassessments.record_change(live, state.person(), change, **description)


def _consequences(current: State, change: Change) -> None:
    """Draw what recording a change will do: answers reopened, sign-offs invalidated, plant data to check."""
    answers = reopening.reopened(change, current.plant, current.assessment.answers)
    data = reopening.data_to_check(change, current.plant)
    systems = ", ".join(reassessments.concerned(current, change.touched, answers)) or "none"
    st.caption(
        f"This will reopen {counted(len(answers), 'answer')} for confirmation and invalidate the sign-off of: "
        f"{escaped(systems)}. Plant data to check: "
        f"{escaped(', '.join(data[:MOST_DATA])) or 'none'}{' …' if len(data) > MOST_DATA else ''}."
    )


def _addressees(current: State) -> list[str]:
    addressees = [
        *(f"group:{key}" for key in current.groups),
        *(f"zone:{key}" for key in current.zones),
        *(f"system:{key}" for key in current.systems),
        "plant",
    ]
    return [of for of in addressees if current.is_answerable(of)]


def _history(current: State, system: str) -> None:
    rows = [
        {
            "Date": change.body.on,
            "Reference": change.body.reference,
            "Kind": reopening.kinds()[change.body.kind].name
            if change.body.kind in reopening.kinds()
            else change.body.kind,
            "What was changed": change.body.what,
            "Answers reopened": len(change.body.reopened),
            "Still to confirm": sum(answer.asked in current.records.to_confirm for answer in change.body.reopened),
            "Recorded": f"{change.cause.day} by {change.cause.by or 'somebody'}",
        }
        for change in reversed(current.records.changes)
        if system in change.body.systems
    ]
    if rows:
        st.markdown("### Changes on record")
        tables.table(rows, key="changes", alt=f"Changes that concern {system}")
    failures.listed(current, system)


page = frame.screen(_draw, needs="see evidence", place="system")
