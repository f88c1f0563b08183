"""What stands beside an answer: recorded evidence, dissents, private answers before the meeting, and confirming."""

from __future__ import annotations

from datetime import date

import streamlit as st

from checks.access.roles import Person
from checks.plantfile.plant import Asked
from checks.reassessment import reassessments
from checks.recording import session
from checks.state.evidence import Dissent, Evidence
from checks.state.live import Live, State
from pages.presentation.wording import ANSWERS, plain
from pages.ui import state
from pages.ui.forms import Form, days, distinct


def draw(live: Live, now: State, asked: Asked) -> None:
    """Draw what is recorded beside one answer, and the forms to add to it."""
    person, records = state.person(), now.records
    _confirm(live, now, asked, person)
    evidence, dissents = records.evidence.get(asked, ()), records.dissents.get(asked, ())
    opened = sum(not one.closed for one in dissents)
    if evidence or opened:
        st.caption(f"Beside this answer: evidence on record {len(evidence)}, open dissents {opened}.")
    # A label that changes would fold it again.
    folded = st.expander("Evidence, dissent, private answers", key="beside", on_change="rerun")
    if not folded.open:  # drawn only when asked for: an answer's effect shall not wait for these forms
        return
    with folded:
        if asked in now.stored:
            left, right = st.columns(2, gap="large")
            with left:
                _evidence(live, now, asked, person)
            with right:
                _dissents(live, now, asked, person)
        else:
            st.caption("Evidence and dissents stand beside an answer: give it first.")
        _private(live, now, asked, person)


def shown(now: State, asked: Asked) -> tuple[object, ...]:
    """What of the records stands on a session's screen, to be compared with a later state."""
    held, stored = now.records, now.stored.get(asked)
    beside = (held.evidence, held.dissents, held.private, held.to_confirm, held.anew)
    return (stored and stored.id, len(held.anew), *(one.get(asked) for one in beside))


def _confirm(live: Live, now: State, asked: Asked, person: Person) -> None:
    cause = now.records.to_confirm.get(asked)
    if cause is None:
        return
    with st.container(border=True, key="to_confirm"):
        st.markdown(f"**To be confirmed** since {cause.day}: {plain(cause.what)}")
        if person.may("confirm an answer"):
            Form("confirm", asked, outside=True).button(
                "It still holds",
                lambda _: reassessments.confirm(live, state.person(), [asked]),
                "The answer is confirmed.",
            )
        else:
            st.caption("A team member confirms it, or answers anew.")


def _evidence(live: Live, now: State, asked: Asked, person: Person) -> None:
    st.markdown("**Evidence on record**")
    held = now.records.evidence.get(asked, ())
    for one in held:
        st.markdown(f"- {_told(one, now.day)}")
    if now.ended(asked):
        st.caption(
            "None of it holds any more: the answer counts as claimed until it is given again with what is seen now."
        )
    if not person.may("record evidence"):
        return
    form = Form("evidence", asked)
    with st.form(form.name, border=False):
        st.selectbox("Kind", session.KINDS, key=form.key("kind"))
        st.text_input("Number or name under which it is found", key=form.key("identifier"), max_chars=2000)
        left, right = st.columns(2)
        left.text_input("Revision", key=form.key("revision"), max_chars=200)
        right.date_input("Dated", value=None, key=form.key("dated"), format="YYYY-MM-DD")
        st.text_input("What it shows, in one line", key=form.key("shows"), max_chars=2000)
        st.select_slider(
            "Strength",
            range(6),
            value=3,
            key=form.key("strength"),
            format_func=lambda at: f"{at} {session.STRENGTHS[at]}",
        )
        left.date_input("Valid until", value=None, key=form.key("valid_until"), format="YYYY-MM-DD")
        right.text_input("or until this happens", key=form.key("until_event"), max_chars=200)
        form.button(
            "Record this evidence",
            lambda told: session.show(live, state.person(), asked, days(told, "dated", "valid_until")),
            "The evidence is on record.",
        )
    _take_back(live, held, asked)


def _take_back(live: Live, held: tuple[Evidence, ...], asked: Asked) -> None:
    if not held:
        return
    names = distinct({one.number: f"{one.identifier} {one.revision}".strip() for one in held})
    form = Form("take_back", asked)
    with st.form(form.name, border=False):
        st.selectbox(
            "Evidence that no longer holds", list(names), key=form.key("number", names), format_func=names.__getitem__
        )
        st.text_input("Why", key=form.key("reason"), max_chars=2000)
        form.button(
            "Withdraw it",
            lambda told: session.take_back(
                live, state.person(), asked, number=int(told["number"] or 0), reason=told["reason"]
            ),
            "The evidence is withdrawn; the journal keeps it.",
        )


def _told(one: Evidence, today: date) -> str:
    ends = f"until {one.valid_until}" if one.valid_until else f"until {one.until_event}" if one.until_event else ""
    ended = " (ended)" if one.expired(today) else ""
    said = f"{one.kind} **{plain(one.identifier)}** {plain(one.revision)} {one.dated}: {plain(one.shows)}"
    return f"{said}; strength {one.strength}, {session.STRENGTHS[one.strength]}; {plain(ends)}{ended}".rstrip("; ")


def _dissents(live: Live, now: State, asked: Asked, person: Person) -> None:
    st.markdown("**Dissent**")
    st.caption("Kept beside the adopted answer. While it is open the less favourable of the two counts.")
    held = now.records.dissents.get(asked, ())
    for one in held:
        ended = f" Settled by {plain(one.closed)}." if one.closed else f" Would be settled by {plain(one.settles)}."
        st.markdown(f"- {plain(_holds(one))} holds **{_answer(one.value)}**: {plain(one.reason)}{ended}")
    if not person.may("record a dissent"):
        return
    form = Form("dissent", asked)
    with st.form(form.name, border=False):
        st.selectbox("Answer", list(ANSWERS), key=form.key("value"), format_func=ANSWERS.__getitem__)
        left, right = st.columns(2)
        left.text_input("Who", key=form.key("who"), max_chars=200)
        right.text_input("Role", key=form.key("role"), max_chars=200)
        st.text_input("Why", key=form.key("reason"), max_chars=2000)
        st.text_input("What evidence would settle it", key=form.key("settles"), max_chars=2000)
        form.button(
            "Keep this dissent",
            lambda told: session.dissent(live, state.person(), asked, told),
            "The dissent is kept.",
        )
    opened = {one.cause.seq: f"{_holds(one)}: {_answer(one.value)}" for one in held if not one.closed}
    _settle(live, distinct(opened), asked)


def _settle(live: Live, opened: dict[int, str], asked: Asked) -> None:
    if not opened:
        return
    form = Form("settle", asked)
    with st.form(form.name, border=False):
        st.selectbox(
            "Dissent that is settled", list(opened), key=form.key("number", opened), format_func=opened.__getitem__
        )
        st.text_input("By which evidence", key=form.key("evidence"), max_chars=2000)
        form.button(
            "Settle it",
            lambda told: session.settle(
                live, state.person(), asked, number=told["number"] or 0, shown_by=told["evidence"]
            ),
            "The dissent is settled.",
        )


def _holds(one: Dissent) -> str:
    """Who holds a dissent, as far as the reader may know."""
    return ", ".join(part for part in (one.who, one.role) if part) or "a member"


def _answer(value: str) -> str:
    return ANSWERS.get(value, value)  # type: ignore[call-overload, no-any-return]


def _private(live: Live, now: State, asked: Asked, person: Person) -> None:
    st.markdown("**Before the meeting**")
    st.caption("Each member answers alone; the facilitator reveals all together; discuss only where you differ.")
    for one in (held for held in now.records.private.get(asked, ()) if held.value):
        seen = "" if one.revealed else " (seen by you alone)"
        st.markdown(f"- {plain(one.who)}: **{_answer(one.value)}**{seen} {plain(one.note)}")
    hidden = sum(not one.revealed for one in now.records.private.get(asked, ()))
    if hidden:
        st.caption(f"{hidden} given and not yet revealed.")
    if person.may("answer privately"):
        form = Form("private", asked)
        with st.form(form.name, border=False):
            st.selectbox("My answer", list(ANSWERS), key=form.key("value"), index=None, format_func=ANSWERS.__getitem__)
            st.text_input("Why, in a sentence", key=form.key("note"), max_chars=2000)
            form.button(
                "Keep it for myself until the reveal",
                lambda told: session.answer_privately(
                    live, state.person(), asked, value=told["value"] or "", note=told["note"]
                ),
                "Your private answer is kept.",
            )


def reveal(live: Live, now: State, answers: list[Asked]) -> None:
    """Draw the joint reveal for the questions of a session, and those on which members differ."""
    person = state.person()
    waiting = sum(any(not one.revealed for one in now.records.private.get(asked, ())) for asked in answers)
    label = f"Reveal the private answers to {waiting} question{'' if waiting == 1 else 's'}"
    if waiting and person.may("reveal the private answers"):
        Form("reveal", outside=True).button(
            label,
            lambda _: session.reveal(live, state.person(), answers),
            "The private answers are revealed.",
        )
    apart = session.differing(now, answers)
    if apart:
        st.caption("Members differ on: " + ", ".join(plain(asked[0]) for asked in apart) + ".")
