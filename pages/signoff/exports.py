"""Exports of a revision: record, safety report and security annex. Each export is entered in the journal."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import Person
from checks.record_files import exports, record_file, verification
from checks.record_files.record_file import Record
from checks.record_files.verification import Tampered
from checks.state.live import Live, State
from checks.state.revision_status import Revision
from pages.presentation.wording import escaped
from pages.reports import safety_report, security_annex
from pages.ui import caches, frame


def draw(live: Live, current: State, system: str, person: Person) -> None:
    """Draw the exports of a system's revisions."""
    revisions = {str(revision.number): revision for revision in reversed(current.records.revisions[system])}
    left, right = st.columns(2)
    number = left.selectbox("Revision to export", list(revisions), key="record_number")
    reader = right.text_input("Recipient of the security annex (printed on each page)", key="reader", max_chars=200)
    revision = revisions[number or next(iter(revisions))]
    suffix = f"{system}-{revision.number}"
    try:
        lines = caches.figures(live, revision)
    except Tampered as error:
        st.error(f"Revision {revision.number} fails verification and is not exported: {escaped(str(error))}")
        return
    if len(lines) > 1:
        st.info(escaped(lines[0]))
    row = st.container(horizontal=True)
    with row:
        frame.download(
            "Safety report (PDF)",
            lambda: safety_report.report(_record(live, person, revision, "safety report"), day=current.day),
            file_name=f"safety-report-{suffix}.pdf",
            mime="application/pdf",
            help="Without gap details.",
        )
        frame.download(
            "Security annex (PDF)",
            lambda: security_annex.annex(
                _record(live, person, revision, f"security annex for {reader}"), reader=reader, day=current.day
            ),
            file_name=f"security-annex-{suffix}.pdf",
            mime="application/pdf",
            disabled=not reader.strip(),
            help="Lists every gap and is confidential: it would help an attacker. Enter the recipient first.",
        )
        frame.download(
            "Record (JSON)",
            lambda: exports.export(live, person, revision),
            file_name=f"record-{suffix}.json",
            mime="application/json",
            help="The revision, its signatures and the audit trail. It can be verified without this program.",
        )


def _record(live: Live, person: Person, revision: Revision, what: str) -> Record:
    """The record of a revision, verified as on the command line; raises Tampered, so that nothing unverified is printed."""
    return verification.verified(record_file.from_text("record", exports.export(live, person, revision, what=what)))
