"""Evidence on record for an answer, and the forms to add or withdraw a piece."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import streamlit as st

from checks.access.roles import Person
from checks.plantfile.plant import Asked
from checks.recording import answer_records
from checks.state.evidence import Evidence
from checks.state.live import Live, State
from pages.presentation.wording import escaped
from pages.ui import state
from pages.ui.forms import Form, days, distinct


def lines(current: State, asked: Asked) -> Iterator[str]:
    """Each piece of evidence on record, in one line."""
    for evidence in current.records.evidence.get(asked, ()):
        yield f"Evidence: {_evidence_line(evidence, current.day)}"
    if current.ended(asked):
        yield (
            "All its evidence has expired or was withdrawn: the answer counts as claimed until it is answered again "
            "with current evidence."
        )


def forms(live: Live, current: State, asked: Asked, person: Person) -> None:
    """Draw the forms to record and withdraw evidence."""
    st.markdown("**Record evidence**")
    recorded = current.records.evidence.get(asked, ())
    if not person.may("record evidence"):
        return
    form = Form("evidence", asked)
    with form.fields():
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
    with form.fields():
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
