"""Handing out: the record, the safety report and the security annex of a revision, each kept in the journal."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import Person
from checks.record_files import exports, record_file, verification
from checks.record_files.record_file import Record
from checks.record_files.verification import Tampered
from checks.state.entries import Revision
from checks.state.live import Live, State
from pages.presentation.wording import plain
from pages.reports import safety_report, security_annex
from pages.ui import caches, frame


def draw(live: Live, now: State, system: str, person: Person) -> None:
    """Draw what can be handed out of a system's revisions."""
    numbers = {str(one.number): one for one in reversed(now.records.revisions[system])}
    left, right = st.columns(2)
    number = left.selectbox("Revision to hand out", list(numbers), key="record_number")
    reader = right.text_input("Reader of the security annex, who stands on each page", key="reader", max_chars=200)
    picked = numbers[number or next(iter(numbers))]
    named = f"{system}-{picked.number}"
    try:
        lines = caches.figures(live, picked)
    except Tampered as error:
        st.error(f"Revision {picked.number} is not what was written, so nothing is printed of it: {plain(str(error))}")
        return
    if len(lines) > 1:
        st.info(plain(lines[0]))
    row = st.container(horizontal=True)
    with row:
        frame.download(
            "Safety report (PDF)",
            lambda: safety_report.report(_record(live, person, picked, "safety report"), day=now.day),
            file_name=f"safety-report-{named}.pdf",
            mime="application/pdf",
            help="Without gap detail.",
        )
        frame.download(
            "Security annex (PDF)",
            lambda: security_annex.annex(
                _record(live, person, picked, f"security annex for {reader}"), reader=reader, day=now.day
            ),
            file_name=f"security-annex-{named}.pdf",
            mime="application/pdf",
            disabled=not reader.strip(),
            help="With every gap: tells an attacker where to go. Name its reader first.",
        )
        frame.download(
            "Record (JSON)",
            lambda: exports.export(live, person, picked),
            file_name=f"record-{named}.json",
            mime="application/json",
            help="The revision, its signatures and the journal. Anybody can verify it without this program.",
        )


def _record(live: Live, person: Person, revision: Revision, what: str) -> Record:
    """The record of a revision, verified as the command line does: nothing is printed that does not verify."""
    return verification.verified(record_file.from_text("record", exports.export(live, person, revision, what=what)))
