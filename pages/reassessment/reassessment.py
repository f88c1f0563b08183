"""Re-assessment: what is to be confirmed, a change or a failure to record, and when the next one is due."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from checks.access.roles import Person
from checks.plantfile.plant import Asked
from checks.questions.bank import banks
from checks.reassessment import reassessments, reopening, schedule
from checks.reassessment.reopening import Change
from checks.state.live import Live, State
from checks.visibility import fresh_start
from pages.presentation.wording import ANSWERS, addressee, plain, titled
from pages.reassessment import failures
from pages.ui import frame, state
from pages.ui.forms import Form, Told, days


def _draw(live: Live, now: State) -> None:
    names = {key: titled(key, one.name) for key, one in now.systems.items()}
    if not names:
        frame.nothing(now, "safety system")
        return
    system = frame.choose("Safety system", "system", names)
    person = state.person()
    _due(live, now, system, person)
    frame.rule(now)
    _waiting(live, now, system, person)
    _anew(now, system)
    left, right = st.columns(2, gap="large")
    with left:
        _change(live, now, person)
    with right:
        failures.draw(live, now, person)
    _history(now, system)


def _due(live: Live, now: State, system: str, person: Person) -> None:
    signed = now.records.signed(system)
    months = now.records.intervals.get(system, schedule.USUAL_MONTHS)
    if signed is None:
        st.markdown(f"## {plain(system)} was never signed by both halves")
        st.markdown("A due date follows from the signatures of both.")
        return
    due = reassessments.due(now, signed)
    st.markdown(f"## {plain(system)}: next assessment {schedule.state(due, now.day)}")
    st.markdown(f"Due on {due.isoformat()}, {months} months after revision {signed.number} was signed.")
    left, right = st.columns([1, 3], vertical_alignment="bottom")
    if person.may("set an interval"):
        with left.popover("Interval"):
            form = Form("interval", system, outside=True)
            st.number_input("Months", 1, schedule.LONGEST_MONTHS, months, key=form.key("months"))
            form.button(
                "Keep this interval",
                lambda told: schedule.set_interval(live, state.person(), system=system, months=int(told["months"])),
                "The interval is kept.",
            )
    if person.may("begin a re-assessment"):
        with right:
            Form("begin", system, outside=True).button(
                "Begin the next assessment",
                lambda _: reassessments.begin(live, state.person(), system),
                "The next assessment has begun.",
            )


def _waiting(live: Live, now: State, system: str, person: Person) -> None:
    by_topic = reassessments.topics_waiting(now, system)
    every = {asked for held in by_topic.values() for asked in held}
    st.markdown(f"### {len(every)} answers to confirm" if len(every) != 1 else "### 1 answer to confirm")
    if not every:
        st.caption("Nothing that was recorded since makes an answer of this system doubtful.")
        return
    names = {key: f"{key} {reopening.topics()[key].name} ({len(held)})" for key, held in by_topic.items()}
    topic = st.selectbox("Topic", list(names), key="topic", format_func=names.__getitem__)
    asked = by_topic[topic or next(iter(by_topic))]
    st.dataframe(
        pd.DataFrame([_row(now, one) for one in asked]), hide_index=True, key="waiting", alt="Answers to confirm"
    )
    if person.may("confirm an answer"):
        _confirm(live, asked, topic or "")


def _confirm(live: Live, asked: list[Asked], topic: str) -> None:
    st.caption("Look at each one. An answer that no longer holds is answered anew in its session.")
    left, right = st.columns([3, 2], vertical_alignment="bottom")
    with left:
        form = Form("confirm_one", outside=True)
        form.drawn_for("topic", "topic", topic, "look at its answers first")
        st.selectbox(
            "One answer", asked, key=form.key("one", asked), format_func=lambda held: f"{held[0]} of {held[1]}"
        )
        form.button(
            "This one still holds",
            lambda told: reassessments.confirm(live, state.person(), list(filter(None, [told["one"]]))),
            "The answer is confirmed.",
        )
    with right:
        form = Form("confirm_all", topic, outside=True)
        form.drawn_for("topic", "topic", topic, "look at its answers first")
        form.button(
            f"All {len(asked)} on this topic still hold",
            lambda _: reassessments.confirm(live, state.person(), asked, topic=topic),
            f"{len(asked)} answers on topic {topic} are confirmed.",
        )


def _row(now: State, asked: Asked) -> dict[str, str]:
    cause, held = now.records.to_confirm[asked], now.stored[asked].answer
    question = banks().every[asked[0]]
    return {
        "Question": asked[0],
        "Of": addressee(asked[1], now.plant),
        "Text": question.text or question.title,
        "Answer": ANSWERS[held.value],
        "Evidence": held.evidence,
        "Doubtful since": cause.day,
        "Because of": cause.what,
    }


def _anew(now: State, system: str) -> None:
    anew = fresh_start.to_give(now, system)
    if anew:
        st.markdown(f"### {len(anew)} answers to give anew")
        st.caption("A fresh start: the earlier answers stay hidden from who answers until these are given.")


def _change(live: Live, now: State, person: Person) -> None:
    st.markdown("### Record a change")
    if not person.may("record a change"):
        st.caption("A team member, the facilitator or the owner records changes.")
        return
    kinds, form = reopening.kinds(), Form("change", outside=True)
    kind = st.selectbox(
        "Kind of change", list(kinds), key=form.key("kind"), index=None, format_func=lambda key: kinds[key].name
    )
    if kind is None:
        return
    form.drawn_for("kind", form.key("kind"), kind, "look at what it asks first")
    one = kinds[kind]
    st.caption(plain(one.why))
    if one.caution:
        st.warning(plain(one.caution))
    of = _addressees(now)
    touched = st.multiselect("What it touches", of, key=form.key("touched", of))
    named = st.multiselect(
        "Topics of the cause" if one.topic_of_cause else "Further topics",
        list(reopening.topics()),
        key=form.key("named"),
        format_func=lambda key: f"{key} {reopening.topics()[key].name}",
    )
    # Each kind has its own condition: what was said of one is not said of another.
    holds = one.only_if is None or st.checkbox(one.only_if.condition, value=True, key=form.key(f"holds {kind}"))
    left, right = st.columns(2)
    left.text_input("Reference, such as the change number", key=form.key("reference"), max_chars=200)
    right.date_input("On", value=now.day, key=form.key("on"), format="YYYY-MM-DD")
    st.text_input("What was changed", key=form.key("what"), max_chars=2000)
    if touched:
        _foretold(now, Change(kind, frozenset(touched), frozenset(named), condition_holds=holds))
    form.button(
        "Record this change",
        lambda told: _changed(live, kind, told),
        "The change is recorded; what it makes doubtful is to be confirmed.",
        type="primary",
        disabled=not touched,
    )


def _changed(live: Live, kind: str, told: Told) -> None:
    change = Change(
        kind,
        frozenset(told["touched"]),
        frozenset(told["named"]),
        condition_holds=bool(told.get(f"holds {kind}", True)),
    )
    words = {"reference": told["reference"], "on": days(told, "on")["on"], "what": told["what"]}
    reassessments.change(live, state.person(), change, **words)


def _foretold(now: State, told: Change) -> None:
    """What recording it will do, before it is done."""
    answers = reopening.reopened(told, now.plant, now.assessment.answers)
    data = reopening.data_to_check(told, now.plant)
    systems = ", ".join(reassessments.concerned(now, told.touched, answers)) or "none"
    st.caption(
        f"It will put {len(answers)} answer{'' if len(answers) == 1 else 's'} up to be confirmed and void what stands of: {plain(systems)}. "
        f"Plant data to look at again: {plain(', '.join(data[:12])) or 'none'}{' …' if len(data) > 12 else ''}."
    )


def _addressees(now: State) -> list[str]:
    every = [
        *(f"group:{key}" for key in now.groups),
        *(f"zone:{key}" for key in now.zones),
        *(f"system:{key}" for key in now.systems),
        "plant",
    ]
    return [of for of in every if now.takes(of)]


def _history(now: State, system: str) -> None:
    rows = [
        {
            "On": one.on,
            "Reference": one.reference,
            "Kind": reopening.kinds()[one.kind].name if one.kind in reopening.kinds() else one.kind,
            "What": one.what,
            "Answers reopened": len(one.reopened),
            "Still to confirm": sum(asked in now.records.to_confirm for asked in one.reopened),
            "Recorded": f"{one.cause.day} by {one.cause.by or 'somebody'}",
        }
        for one in reversed(now.records.changes)
        if system in one.systems
    ]
    if rows:
        st.markdown("### Changes on record")
        st.dataframe(pd.DataFrame(rows), hide_index=True, key="changes", alt=f"Changes that concern {system}")
    failures.listed(now, system)


page = frame.screen(_draw, needs="see evidence")
