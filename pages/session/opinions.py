"""Opinions beside an answer: dissents, and private answers before the meeting with their reveal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import streamlit as st

from checks.access.roles import Person
from checks.plantfile.plant import Asked
from checks.recording import answer_records
from checks.state.evidence import Dissent, Private
from checks.state.live import Live, State
from pages.presentation.wording import answer_label, counted, escaped
from pages.ui import state
from pages.ui.forms import Form, distinct


def lines(current: State, asked: Asked) -> Iterator[str]:
    """Each open dissent and each revealed private answer, in one line."""
    for dissent in current.records.dissents.get(asked, ()):
        if not dissent.closed:
            yield f"Dissent: {_dissent_line(dissent)}"
    for answer in current.records.private.get(asked, ()):
        if answer.revealed:
            yield f"Before the meeting: {_private_line(answer)}"


def _private_line(answer: Private) -> str:
    """A private answer: who, what, and why."""
    only_you = "" if answer.revealed else "(visible to you only) "
    return f"{escaped(answer.who)}: **{answer_label(answer.value)}** {only_you}{escaped(answer.note)}".rstrip()


def dissents(live: Live, current: State, asked: Asked, person: Person) -> None:
    """Draw the dissents on an answer, and the forms to record and settle one."""
    st.markdown("**Dissent**")
    st.caption("Recorded with the adopted answer. While a dissent is open, the worse of the two answers is used.")
    dissents = current.records.dissents.get(asked, ())
    for dissent in dissents:
        st.markdown(f"- {_dissent_line(dissent)}")
    if not person.may("record a dissent"):
        return
    form = Form("dissent", asked)
    with form.fields():
        st.selectbox("Answer", _answers_to(current, asked), key=form.key("value"), format_func=answer_label)
        left, right = st.columns(2)
        left.text_input("Name", key=form.key("who"), max_chars=200)
        right.text_input("Role", key=form.key("role"), max_chars=200)
        st.text_input("Reason", key=form.key("reason"), max_chars=2000)
        st.text_input("Evidence that would settle it", key=form.key("settles"), max_chars=2000)
        form.button(
            "Record this dissent",
            lambda fields: answer_records.record_dissent(live, state.person(), asked, fields),
            "Dissent recorded.",
        )
    open_dissents = {
        dissent.cause.seq: f"{_dissenter(dissent)}: {answer_label(dissent.value)}"
        for dissent in dissents
        if not dissent.closed
    }
    _settle(live, distinct(open_dissents), asked)


def _settle(live: Live, open_dissents: dict[int, str], asked: Asked) -> None:
    if not open_dissents:
        return
    form = Form("settle", asked)
    with form.fields():
        st.selectbox(
            "Dissent to settle",
            list(open_dissents),
            key=form.key("number", open_dissents),
            format_func=open_dissents.__getitem__,
        )
        st.text_input("Evidence that settles it", key=form.key("evidence"), max_chars=2000)
        form.button(
            "Settle this dissent",
            lambda fields: answer_records.close_dissent(
                live, state.person(), asked, number=fields["number"] or 0, shown_by=fields["evidence"]
            ),
            "Dissent settled.",
        )


def _dissent_line(dissent: Dissent) -> str:
    end = (
        f"Settled by {escaped(dissent.closed)}."
        if dissent.closed
        else f"Would be settled by {escaped(dissent.settles)}."
    )
    return f"{escaped(_dissenter(dissent))} answers **{answer_label(dissent.value)}**: {escaped(dissent.reason.rstrip(' .'))}. {end}"


def _dissenter(dissent: Dissent) -> str:
    """Name and role of a dissenter, as far as the reader may see them."""
    return ", ".join(part for part in (dissent.who, dissent.role) if part) or "a member"


def _answers_to(current: State, asked: Asked) -> list[str]:
    """The values that answer a question."""
    return list(current.assessment.banks.questions[asked[0]].answers)


def private(live: Live, current: State, asked: Asked, person: Person) -> None:
    """Draw a person's own private answer, and the form to give it."""
    st.markdown("**Before the meeting**")
    st.caption("Each member answers alone. The facilitator reveals all answers together. Discuss only the differences.")
    given = current.records.private.get(asked, ())
    for answer in given:
        if answer.value and not answer.revealed:
            st.markdown(f"- {_private_line(answer)}")
    hidden = sum(not answer.revealed for answer in given)
    if hidden:
        st.caption(f"{counted(hidden, 'private answer')} not yet revealed.")
    if person.may("answer privately"):
        form = Form("private", asked)
        with form.fields():
            st.selectbox(
                "My answer", _answers_to(current, asked), key=form.key("value"), index=None, format_func=answer_label
            )
            st.text_input("Reason, in one sentence", key=form.key("note"), max_chars=2000)
            form.button(
                "Save my private answer",
                lambda fields: answer_records.answer_privately(
                    live, state.person(), asked, value=fields["value"] or "", note=fields["note"]
                ),
                "Private answer saved. Others see it after the reveal.",
            )


def reveal(live: Live, current: State, answers: Sequence[Asked]) -> None:
    """Draw the joint reveal of the private answers of a session, and the questions on which members differ."""
    person = state.person()
    waiting = sum(any(not answer.revealed for answer in current.records.private.get(asked, ())) for asked in answers)
    label = f"Reveal the private answers to {counted(waiting, 'question')}"
    if waiting and person.may("reveal the private answers"):
        Form("reveal", outside=True).button(
            label,
            lambda _: answer_records.reveal(live, state.person(), answers),
            "The private answers are revealed.",
        )
    _differing(current, answer_records.differing(current, answers))


def _differing(current: State, answers: Sequence[Asked]) -> None:
    """Draw the questions on which members differ, each with what they said."""
    if answers:
        st.markdown("**Members differ on:**")
        st.markdown(
            "\n".join(
                f"- {escaped(asked[0])}: "
                + "; ".join(_private_line(answer) for answer in current.records.private[asked] if answer.revealed)
                for asked in answers
            )
        )
