"""The signed statements of a revision, handed to the signer: on paper, and the bytes that were signed."""

from __future__ import annotations

from functools import partial

import streamlit as st

from checks.access.roles import Person
from checks.record_files import exports
from checks.state.live import Live
from checks.state.revision_status import Revision, Signature
from pages.presentation.wording import escaped
from pages.reports import statement_paper
from pages.ui import frame

NEEDS = "export a record"


def draw(live: Live, revision: Revision, person: Person) -> None:
    """Draw the statements of a revision in full, with their downloads; those of earlier releases have no text."""
    signatures = [signature for signature in revision.signatures.values() if signature.text]
    for signature in signatures:
        label = f"Signed statement of the {signature.half} half, revision {revision.number}"
        with st.expander(label, key=f"statement_{revision.number}_{signature.half}"):
            prose(signature.text)
            if person.may(NEEDS):
                _downloads(live, revision, signature, person)


def prose(text: str) -> None:
    """Draw the prose of a statement."""
    for paragraph in text.split("\n\n"):
        st.markdown(escaped(paragraph))


def _downloads(live: Live, revision: Revision, signature: Signature, person: Person) -> None:
    half = signature.half
    name = f"statement-{revision.system}-{revision.number}-{half}"
    what = f"signed statement, {half} half of revision {revision.number} of {revision.system}"
    journal = partial(exports.handed_out, live, person, what, needs=NEEDS)
    with st.container(horizontal=True):
        frame.download(
            f"Statement, {half} half (PDF)",
            partial(statement_paper.paper, signature),
            journal,
            file_name=f"{name}.pdf",
            mime="application/pdf",
        )
        frame.download(
            f"Signed bytes, {half} half (JSON)",
            partial(statement_paper.signed_bytes, signature),
            journal,
            file_name=f"{name}.json",
            mime="application/json",
        )
