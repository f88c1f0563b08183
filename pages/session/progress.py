"""Progress of a session per section and over a system, a list to jump to a question, and a table of all answers."""

from __future__ import annotations

from collections.abc import Mapping

import pandas as pd
import streamlit as st

from checks.plantfile.plant import Answer
from checks.progress import next_question, open_questions
from checks.progress.open_questions import CAUSES, REQUIREMENTS, TOPICS
from checks.questions.bank import Question
from checks.state.live import Live, State
from pages.presentation.wording import ANSWERS, addressee, escaped
from pages.session import room_view, steps
from pages.session.walk import Walk, leading_to, screen_of
from pages.ui import frame, places

NOT_ANSWERED = "Not answered"
TITLES = {CAUSES: "Groups, common cause", TOPICS: "Zones, topics", REQUIREMENTS: "Zones, requirements"}


def bar(walk: Walk) -> None:
    """Draw the progress per section; in a meeting room in one line."""
    sections: dict[str, list[Question]] = {}
    for question in walk.questions:
        sections.setdefault(question.section_title, []).append(question)
    done = sum(question.id in walk.answers for question in walk.questions)
    counts = [f"**{done} of {len(walk.questions)} answered**"]
    if room_view.is_on():
        sections = {walk.current().section_title: sections[walk.current().section_title]}
    for title, questions in sections.items():
        answered = sum(question.id in walk.answers for question in questions)
        counts.append(f"{escaped(title)} {answered}/{len(questions)}")
    st.progress(done / len(walk.questions), text=" · ".join(counts))


def onwards(live: Live, current: State, walk: Walk) -> None:
    """Draw the ways to another question: a list to jump to one, and what else is open in the system."""
    # Labels must not depend on the answers: Streamlit takes a list with new labels for a change by the user.
    labels = {question.id: f"{question.id} · {question.text}" for question in walk.questions}
    shown = walk.current().id
    places.chooser("Jump to", "jump", labels, shown, follows=("q",))
    _of_system(live, current, walk, shown)


def _of_system(live: Live, current: State, walk: Walk, shown: str) -> None:
    """Draw a link to the next open question of the system, and on demand the progress of all its groups and zones."""
    coming = next_question.next_open(current, walk.place, shown, system=walk.system, passed=steps.passed(live))
    of = "the zones without a system" if walk.system is None else walk.system
    if coming is None:
        st.caption(f"Next open question of {escaped(of)}: none.")
    else:
        place, question = coming
        label = f"Next open question of {of}: {question} of {place.key}"
        frame.link(screen_of(place), label, **leading_to(place, question), **room_view.kept())
    folded = st.expander("Progress of all groups and zones of this system", key="whole", on_change="rerun")
    if folded.open:  # drawn only on demand, so that an answer's effect shows sooner
        with folded:
            _places(current, walk)


def _places(current: State, walk: Walk) -> None:
    """Draw one link for each group and zone of the system, with what is answered there; it leads to what is open first."""
    places = open_questions.around(current, walk.place, walk.system)
    columns = st.columns(3)
    for bank, column in zip(TITLES, columns, strict=True):
        column.markdown(f"**{TITLES[bank]}**")
        for place in sorted(
            (each for each in places if (CAUSES if each.of_group else each.bank) == bank), key=lambda each: each.key
        ):
            known = open_questions.progress(current.assessment, place)
            label = f"{place.key}: {known.answered} of {known.asked}"
            if known.unknown:
                label += f", {len(known.unknown)} not known"
            with column:
                frame.link(screen_of(place), label, **leading_to(place, next(iter(known.open), "")), **room_view.kept())


def _label(answers: Mapping[str, Answer], question: Question) -> str:
    return ANSWERS[answers[question.id].value] if question.id in answers else NOT_ANSWERED


def listed(current: State, walk: Walk) -> None:
    """Draw all answers of the session as a table, only while its fold is open, so that an answer's effect shows sooner."""
    label = f"All answers of this {'group' if walk.place.of_group else 'zone'}"
    folded = st.expander(label, key="listed", on_change="rerun")
    if folded.open:
        with folded:
            st.dataframe(pd.DataFrame(_rows(current, walk)), hide_index=True, key="answers", alt=label)


def _rows(current: State, walk: Walk) -> list[dict[str, str]]:
    return [
        {
            "Question": question.id,
            "Text": question.text,
            "Answer": _label(walk.answers, question),
            "Answered for": addressee(walk.answers[question.id].of, current.plant)
            if question.id in walk.answers
            else "",
            "Evidence": walk.answers[question.id].evidence if question.id in walk.answers else "",
            "Note": walk.answers[question.id].note if question.id in walk.answers else "",
        }
        for question in walk.questions
    ]
