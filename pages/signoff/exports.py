"""Exports of a revision: record, safety report and security annex. Each export is entered in the journal."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from io import BytesIO
from zipfile import ZipFile

import streamlit as st
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.access.roles import Person
from checks.record_files import exports
from checks.record_files.record_file import Record
from checks.record_files.verification import Tampered
from checks.signoff import signatures
from checks.state.live import Live, State
from checks.state.revision_status import Revision
from pages.cached import revision_results
from pages.presentation.wording import escaped
from pages.reports import safety_report, security_annex
from pages.ui import frame
from pages.web import run_mode


def draw(live: Live, current: State, system: str, person: Person) -> None:
    """Draw the exports of a system's revisions."""
    if hidden := exports.hidden_answers(live.state(), person, system):
        st.info(escaped(f"No record and no report: {hidden[0].found}. Instead: {hidden[0].allowed}."))
        return
    revisions = {str(revision.number): revision for revision in reversed(current.records.revisions[system])}
    left, right = st.columns(2)
    number = left.selectbox("Revision to export", list(revisions), key="record_number")
    reader = right.text_input("Recipient of the security annex (printed on each page)", key="reader", max_chars=200)
    revision = revisions[number or next(iter(revisions))]
    suffix = f"{system}-{revision.number}"
    try:
        lines = revision_results.figures(live, revision)
    except Tampered as error:
        st.error(f"Revision {revision.number} fails verification and is not exported: {escaped(str(error))}")
        return
    if len(lines) > 1:
        st.info(escaped(lines[0]))
    private = _key_of_this_installation(current)
    row = st.container(horizontal=True)
    with row:
        frame.download(
            "Safety report (PDF)",
            lambda: _printed(
                live, person, revision, "safety report", lambda record: safety_report.report(record, day=current.day)
            ),
            file_name=f"safety-report-{suffix}.pdf",
            mime="application/pdf",
            help="Without gap details.",
        )
        frame.download(
            "Security annex (PDF)",
            lambda: _printed(
                live,
                person,
                revision,
                f"security annex for {reader}",
                lambda record: security_annex.annex(record, reader=reader, day=current.day),
            ),
            file_name=f"security-annex-{suffix}.pdf",
            mime="application/pdf",
            disabled=not reader.strip(),
            help="Lists every gap and is confidential: it would help an attacker. Enter the recipient first.",
        )
        frame.download(
            "Record (JSON)",
            lambda: exports.export(live, person, revision, private=private),
            file_name=f"record-{suffix}.json",
            mime="application/json",
            help="The revision, its signatures and the audit trail. It can be verified without this program.",
        )
        frame.download(
            "All three (ZIP)",
            lambda: _together(live, person, revision, reader, current.day, private),
            file_name=f"hand-out-{suffix}.zip",
            mime="application/zip",
            disabled=not reader.strip(),
            help="Report, annex and record of one state of the audit trail, with one hash. Enter the recipient first.",
        )


def _key_of_this_installation(current: State) -> Ed25519PrivateKey | None:
    """The key that signs exports here, with a line about it; None where there is none, or where it is not enrolled."""
    private = run_mode.export_key()
    if private is None:
        return None
    public = signatures.public_text(private.public_key())
    named = f"the key of this installation, {signatures.key_id(public)}"
    if exports.may_sign(current, private):
        st.caption(f"Records handed out here are signed as whole with {named}.")
        return private
    st.caption(
        f"Records handed out here are not signed: {named}, is not enrolled in this plant, or withdrawn. "
        f"The asset owner enrols its public line under Signing keys: `{public}`"
    )
    return None


def _together(
    live: Live, person: Person, revision: Revision, reader: str, day: date, private: Ed25519PrivateKey | None
) -> bytes:
    """Report, annex and record of one state as a ZIP file."""
    suffix = f"{revision.system}-{revision.number}"

    def print_all(record: Record) -> dict[str, bytes]:
        return {
            f"safety-report-{suffix}.pdf": safety_report.report(record, day=day),
            f"security-annex-{suffix}.pdf": security_annex.annex(record, reader=reader, day=day),
        }

    what = f"record, safety report and security annex for {reader}"
    buffer = BytesIO()
    with ZipFile(buffer, "w") as packed:
        for name, content in exports.together(live, person, revision, what, print_all, private).items():
            packed.writestr(name, content)
    return buffer.getvalue()


def _printed(live: Live, person: Person, revision: Revision, what: str, on_paper: Callable[[Record], bytes]) -> bytes:
    """A document printed from the verified record of a revision, entered in the journal once it is made; raises Tampered."""
    record = exports.preview(live, person, revision, what)
    content = on_paper(record)
    exports.handed_out_print(live, person, record)
    return content
