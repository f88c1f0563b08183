"""Re-assessment: next due date, answers to confirm, and recording of changes and failures."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import Person
from checks.reassessment import rounds, schedule
from checks.signoff import revisions
from checks.state import assessment_interval
from checks.state.live import Live, State
from checks.state.standing import next_due
from checks.visibility import blind_round
from pages.presentation.wording import counted, escaped, titled
from pages.reassessment import changes, confirming, failures, own_failures
from pages.ui import frame, places, state
from pages.ui.forms import Form


def _draw(live: Live, current: State) -> None:
    names = {key: titled(key, system.name) for key, system in current.systems.items()}
    if not names:
        frame.nothing_to_choose(current, "safety system")
        return
    system = places.choose("Safety system", "system", names)
    person = state.person()
    _due(live, current, system, person)
    frame.method_note(current)
    confirming.draw(live, current, system, person)
    confirming.plant_data(live, current, system, person)
    _blind_round(current, system)
    left, right = st.columns(2, gap="large")
    with left:
        changes.draw(live, current, person)
    with right:
        failures.draw(live, current, person)
    changes.history(live, current, system)
    own_failures.draw(current, system)


def _due(live: Live, current: State, system: str, person: Person) -> None:
    signed = current.records.signed(system)
    months = current.records.intervals.get(system, assessment_interval.USUAL_MONTHS)
    standing = revisions.system_standing(current, system)
    if signed is None:
        st.markdown(f"## {escaped(system)} is {standing.words}: no revision has both signatures")
        why = escaped(standing.why[:1].upper() + standing.why[1:])
        st.markdown(f"{why}. The due date is counted from the day on which both halves are signed.")
        return
    due = next_due(current.records, signed)
    timing = "nothing that was signed holds" if standing.void else f"next assessment {schedule.state(due, current.day)}"
    st.markdown(f"## {escaped(system)} is {standing.words}: {timing}")
    st.markdown(f"Due on {due.isoformat()}, {months} months after revision {signed.number} was signed.")
    row = st.container(horizontal=True)
    if person.may("set an interval"):
        with row.popover("Interval"):
            form = Form("interval", system, outside=True)
            st.number_input("Months", 1, assessment_interval.LONGEST_MONTHS, months, key=form.key("months"))
            form.button(
                "Save interval",
                lambda fields: schedule.set_interval(live, state.person(), system=system, months=int(fields["months"])),
                "Interval saved.",
            )
    if person.may("begin a re-assessment"):
        with row.popover("Start the next assessment"):
            _begin(live, current, system)


def _begin(live: Live, current: State, system: str) -> None:
    """Say what starting the next assessment does before it is started; offer to take one's own start back."""
    start = rounds.start_of(current, system)
    if start.blank:
        st.markdown(
            f"Assessment {start.number} is a **blind round**: {counted(len(start.own), 'answer')} of {escaped(system)} "
            "will be hidden from everybody in the team until the question is answered again. "
            f"{counted(len(start.shared), 'answer')} that other systems rest on too are to be confirmed instead."
        )
    else:
        total = len(start.own) + len(start.shared)
        st.markdown(
            f"Assessment {start.number}: {counted(total, 'answer')} will have to be confirmed, "
            f"of which other systems rest on {len(start.shared)}."
        )
    form = Form("begin", (system, start.number), outside=True)
    form.button(
        f"Start assessment {start.number}",
        lambda _: rounds.begin_assessment(live, state.person(), system),
        "The assessment has started. Until somebody answers or confirms, you can take it back.",
        type="primary",
    )
    if current.records.rounds.get(system):
        Form("begin_back", (system, start.number), outside=True).button(
            "Take back the last start",
            lambda _: rounds.take_back(live, state.person(), system),
            "The start is taken back: answers are shown and stand as before.",
        )


def _blind_round(current: State, system: str) -> None:
    questions = blind_round.questions_to_answer(current, system)
    if questions:
        st.markdown(f"### {counted(len(questions), 'question')} to answer again")
        st.caption(
            "Blind round: earlier answers stay hidden from the team until the questions are answered again, "
            "to avoid anchoring."
        )


page = frame.screen(_draw, needs="see evidence", place="system")
