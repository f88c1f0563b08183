"""Records kept with an answer: evidence, dissents, private answers before the meeting, and its confirmation."""

from __future__ import annotations

from datetime import date

import streamlit as st

from checks.access.roles import Person
from checks.plantfile.plant import Asked
from checks.reassessment import reassessments
from checks.recording import answer_records
from checks.state.evidence import Dissent, Evidence
from checks.state.live import Live, State
from pages.presentation.wording import ANSWERS, counted, escaped
from pages.ui import state
from pages.ui.forms import Form, days, distinct


def draw(live: Live, current: State, asked: Asked) -> None:
    """Draw the records kept with one answer, and the forms to add to them."""
    person, records = state.person(), current.records
    _confirm(live, current, asked, person)
    evidence, dissents = records.evidence.get(asked, ()), records.dissents.get(asked, ())
    open_dissents = sum(not dissent.closed for dissent in dissents)
    if evidence or open_dissents:
        st.caption(
            f"Recorded with this answer: {counted(len(evidence), 'evidence item')}, {counted(open_dissents, 'open dissent')}."
        )
    # A fold whose label changes closes.
    folded = st.expander("Evidence, dissent, private answers", key="beside", on_change="rerun")
    if not folded.open:  # drawn only on demand, so that an answer's effect shows sooner
        return
    with folded:
        if asked in current.stored:
            left, right = st.columns(2, gap="large")
            with left:
                _evidence(live, current, asked, person)
            with right:
                _dissents(live, current, asked, person)
        else:
            st.caption("Answer the question first, then record evidence or a dissent.")
        _private(live, current, asked, person)


def shown(current: State, asked: Asked) -> tuple[object, ...]:
    """The records that a session's screen shows, to be compared with those of a later state."""
    records, stored = current.records, current.stored.get(asked)
    kept = (records.evidence, records.dissents, records.private, records.to_confirm, records.to_answer_again)
    return (stored and stored.id, len(records.to_answer_again), *(by_question.get(asked) for by_question in kept))


def _confirm(live: Live, current: State, asked: Asked, person: Person) -> None:
    cause = current.records.to_confirm.get(asked)
    if cause is None:
        return
    with st.container(border=True, key="to_confirm"):
        st.markdown(f"**To be confirmed** since {cause.day}: {escaped(cause.what)}")
        if person.may("confirm an answer"):
            Form("confirm", asked, outside=True).button(
                "Confirm this answer",
                lambda _: reassessments.confirm_answers(live, state.person(), [asked]),
                "The answer is confirmed.",
            )
        else:
            st.caption("A team member confirms it or answers again.")


def _evidence(live: Live, current: State, asked: Asked, person: Person) -> None:
    st.markdown("**Evidence on record**")
    recorded = current.records.evidence.get(asked, ())
    for evidence in recorded:
        st.markdown(f"- {_evidence_line(evidence, current.day)}")
    if current.ended(asked):
        st.caption(
            "All its evidence has expired or was withdrawn: the answer counts as claimed until it is answered again "
            "with current evidence."
        )
    if not person.may("record evidence"):
        return
    form = Form("evidence", asked)
    with st.form(form.name, border=False):
        _evidence_fields(form)
        form.button(
            "Record this evidence",
            lambda fields: answer_records.add_evidence(
                live, state.person(), asked, days(fields, "dated", "valid_until")
            ),
            "Evidence recorded.",
        )
    _withdraw(live, recorded, asked)


def _evidence_fields(form: Form) -> None:
    st.selectbox("Kind", answer_records.EVIDENCE_KINDS, key=form.key("kind"))
    st.text_input("Document number or name", key=form.key("identifier"), max_chars=2000)
    left, right = st.columns(2)
    left.text_input("Revision", key=form.key("revision"), max_chars=200)
    right.date_input("Dated", value=None, key=form.key("dated"), format="YYYY-MM-DD")
    st.text_input("What it shows, in one line", key=form.key("shows"), max_chars=2000)
    st.select_slider(
        "Strength",
        range(6),
        value=3,
        key=form.key("strength"),
        format_func=lambda strength: f"{strength} {answer_records.STRENGTHS[strength]}",
    )
    left.date_input("Valid until", value=None, key=form.key("valid_until"), format="YYYY-MM-DD")
    right.text_input("or until this event", key=form.key("until_event"), max_chars=200)


def _withdraw(live: Live, recorded: tuple[Evidence, ...], asked: Asked) -> None:
    if not recorded:
        return
    names = distinct({evidence.number: f"{evidence.identifier} {evidence.revision}".strip() for evidence in recorded})
    form = Form("take_back", asked)
    with st.form(form.name, border=False):
        st.selectbox("Evidence to withdraw", list(names), key=form.key("number", names), format_func=names.__getitem__)
        st.text_input("Reason", key=form.key("reason"), max_chars=2000)
        form.button(
            "Withdraw this evidence",
            lambda fields: answer_records.withdraw_evidence(
                live, state.person(), asked, number=int(fields["number"] or 0), reason=fields["reason"]
            ),
            "Evidence withdrawn. It stays in the audit trail.",
        )


def _evidence_line(evidence: Evidence, today: date) -> str:
    end = evidence.valid_until or evidence.until_event
    validity = (f"valid until {end}" if end else "") + (" (expired)" if evidence.expired(today) else "")
    document = f"{evidence.kind} **{escaped(evidence.identifier)}** {escaped(evidence.revision)} {evidence.dated}"
    strength = f"strength {evidence.strength}, {answer_records.STRENGTHS[evidence.strength]}"
    return f"{document}: {escaped(evidence.shows)}; {strength}; {escaped(validity)}".rstrip("; ")


def _dissents(live: Live, current: State, asked: Asked, person: Person) -> None:
    st.markdown("**Dissent**")
    st.caption("Recorded with the adopted answer. While a dissent is open, the worse of the two answers is used.")
    dissents = current.records.dissents.get(asked, ())
    for dissent in dissents:
        st.markdown(f"- {_dissent_line(dissent)}")
    if not person.may("record a dissent"):
        return
    form = Form("dissent", asked)
    with st.form(form.name, border=False):
        st.selectbox("Answer", list(ANSWERS), key=form.key("value"), format_func=ANSWERS.__getitem__)
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
        dissent.cause.seq: f"{_dissenter(dissent)}: {_answer(dissent.value)}"
        for dissent in dissents
        if not dissent.closed
    }
    _settle(live, distinct(open_dissents), asked)


def _settle(live: Live, open_dissents: dict[int, str], asked: Asked) -> None:
    if not open_dissents:
        return
    form = Form("settle", asked)
    with st.form(form.name, border=False):
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
    return f"{escaped(_dissenter(dissent))} answers **{_answer(dissent.value)}**: {escaped(dissent.reason.rstrip(' .'))}. {end}"


def _dissenter(dissent: Dissent) -> str:
    """Name and role of a dissenter, as far as the reader may see them."""
    return ", ".join(part for part in (dissent.who, dissent.role) if part) or "a member"


def _answer(value: str) -> str:
    return ANSWERS.get(value, value)  # type: ignore[call-overload, no-any-return]


def _private(live: Live, current: State, asked: Asked, person: Person) -> None:
    st.markdown("**Before the meeting**")
    st.caption("Each member answers alone. The facilitator reveals all answers together. Discuss only the differences.")
    private = current.records.private.get(asked, ())
    for answer in private:
        if answer.value:
            only_you = "" if answer.revealed else " (visible to you only)"
            st.markdown(f"- {escaped(answer.who)}: **{_answer(answer.value)}**{only_you} {escaped(answer.note)}")
    hidden = sum(not answer.revealed for answer in private)
    if hidden:
        st.caption(f"{counted(hidden, 'private answer')} not yet revealed.")
    if person.may("answer privately"):
        form = Form("private", asked)
        with st.form(form.name, border=False):
            st.selectbox("My answer", list(ANSWERS), key=form.key("value"), index=None, format_func=ANSWERS.__getitem__)
            st.text_input("Reason, in one sentence", key=form.key("note"), max_chars=2000)
            form.button(
                "Save my private answer",
                lambda fields: answer_records.answer_privately(
                    live, state.person(), asked, value=fields["value"] or "", note=fields["note"]
                ),
                "Private answer saved. Others see it after the reveal.",
            )


def reveal(live: Live, current: State, answers: list[Asked]) -> None:
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
    differing = answer_records.differing(current, answers)
    if differing:
        st.caption("Members differ on: " + ", ".join(escaped(asked[0]) for asked in differing) + ".")
