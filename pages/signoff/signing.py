"""Signing one half: the terms of the signer, the statement in full, and the key."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import streamlit as st

from checks.access.names import same
from checks.actions import recorded_actions
from checks.signoff import sign_off, signatures, statement
from checks.signoff.signatures import KeyRefused
from checks.signoff.terms import Condition, Terms, Unanswered
from checks.state.live import Live, State
from checks.state.revision_status import Revision
from pages.presentation.wording import escaped
from pages.signoff import statements
from pages.signoff.sample import Sample
from pages.ui import state
from pages.ui.forms import Form, Told, days


@dataclass(frozen=True, slots=True)
class Review:
    """One half of a revision under review: ``fixed`` is the body of the revision, ``never`` what was never answered."""

    revision: Revision
    fixed: dict[str, Any]
    half: str
    sample: Sample
    never: Unanswered


def draw(live: Live, current: State, review: Review, form: Form) -> None:
    """Draw the terms, the statement that follows from them, and the key with the button that signs."""
    st.markdown("**Sign this half**")
    _terms(current, review, form)
    fields = form.told()
    shown = _statement(current, review, fields)
    left, right = st.columns(2)
    left.file_uploader("Your key file", key=form.key("file"), type=["pem"])
    right.text_input("Passphrase of the key", key=form.key("phrase"), type="password")
    form.button(
        f"Sign the {review.half} half",
        lambda fields: _signed(live, review, fields, shown),
        f"The {review.half} half is signed. Your statement is below, with the revisions: as PDF and as the signed bytes.",
        type="primary",
    )


def _terms(current: State, review: Review, form: Form) -> None:
    never = review.never
    if never.missing:
        st.checkbox(
            f"{len(never.missing)} of {never.asked} questions of this half were never answered. I accept the revision with them.",
            key=form.key("unanswered"),
        )
        with st.expander("Which questions were never answered", key=f"never_{review.half}"):
            st.markdown(escaped("; ".join(f"{question} of {of}" for question, of in never.missing)))
    left, right = st.columns(2)
    left.text_area(
        "Independence", key=form.key("independence"), max_chars=2000, height=68,
        placeholder="Why you are independent of the team and of the design",
    )  # fmt: skip
    right.text_area(
        "Competence", key=form.key("competence"), max_chars=2000, height=68,
        placeholder="Basis of your competence for this review",
    )  # fmt: skip
    actions = {
        action.id: f"{action.id} {action.what}"
        for action in recorded_actions.under_way(current, review.revision.system)
    }
    chosen = left.multiselect(
        "Conditions: actions that must be finished",
        list(actions),
        key=form.key("actions", actions),
        format_func=actions.__getitem__,
        placeholder="None",
        help="A condition rests on an open action of the system. Have one raised under Due and open first.",
    )
    right.date_input("Conditional sign-off valid until", value=None, key=form.key("until"), format="YYYY-MM-DD")
    for action in chosen:
        st.text_input(
            f"Condition in words: {escaped(actions[action])}", key=form.key(f"words {action}"), max_chars=1000
        )


def _read(review: Review, fields: Told) -> Terms:
    """The terms in the fields of the form."""
    return Terms(
        fields["independence"] or "",
        fields["competence"] or "",
        tuple(Condition(action, fields.get(f"words {action}") or "") for action in fields["actions"] or ()),
        days(fields, "until")["until"],
        turns=review.sample.turns,
        verdicts=review.sample.verdicts(fields),
        unanswered=len(review.never.missing) if fields.get("unanswered") else 0,
    )


def _statement(current: State, review: Review, fields: Told) -> str:
    """Draw the statement as it would be signed now, in full; returns its text."""
    terms = _read(review, fields)
    stated = statement.fields(current, review.fixed, review.revision, _signer(current), half=review.half, terms=terms)
    text = str(stated["text"])
    with st.container(border=True, key=f"statement_{review.half}"):
        st.markdown("**The statement that you sign**")
        statements.prose(text)
        st.caption("Time (UTC) and the state of the audit trail are added at the moment of signing.")
    return text


def _signer(current: State) -> str:
    """The name of the person at the screen as it is enrolled, else as it was given."""
    name = state.person().name
    return next((key.name for key in current.records.keys.values() if same(key.name, name)), name)


def _signed(live: Live, review: Review, fields: Told, shown: str) -> object:
    """Sign the half; raises KeyRefused and what ``sign_off.sign`` raises."""
    if fields["file"] is None:
        raise KeyRefused("no key file is selected", "select the file that you downloaded when you created your key")
    file = fields["file"].getvalue()
    private = signatures.unlock(file, fields["phrase"])
    state.put("key hint", signatures.hint(file))
    terms = replace(_read(review, fields), shown=shown)
    return sign_off.sign(live, state.person(), review.revision, private, half=review.half, terms=terms)
