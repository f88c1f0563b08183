"""Prepare: question sheets, the evidence to bring, and the minutes of a session."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import Person
from checks.record_files import exports
from checks.session_papers.evidence_to_bring import Wanted, evidence_to_bring
from checks.session_papers.question_sheets import KINDS, Selection, Sheet, sheets
from checks.state.live import Live, State
from pages.preparation import minutes
from pages.presentation.wording import ANSWERS, counted, titled
from pages.reports import question_sheets
from pages.reports.question_sheets import BANKS, Paper, addressees, named
from pages.ui import frame, places, state, tables

NEEDS = "see the common-cause answers"
MOST_ROWS = 1000
"""Maximum rows of the tables in folds, which are read like the papers."""
SUBJECTS = {"system": "A whole safety system", "group": "One group", "zone": "One zone"}


def _draw(live: Live, current: State) -> None:
    st.markdown("## Prepare a session")
    st.markdown(
        "Print the questions with room for answers, evidence and names, and the list of the evidence to bring. "
        "Nothing on paper is stored here until somebody answers in a session."
    )
    frame.method_note(current)
    subject = _subject(current)
    if subject is not None:
        _papers(live, current, subject)
        minutes.draw(live, current, NEEDS)


def _subject(current: State) -> str | None:
    """The chosen system, group or zone as an addressee; None where there is none."""
    known = {
        "system": {key: titled(key, system.name) for key, system in current.systems.items()},
        "group": {
            key: titled(key, group.name) for key, group in current.groups.items() if current.assessment.asked(key)
        },
        "zone": {key: titled(key, zone.name) for key, zone in current.zones.items()},
    }
    kinds = {kind: SUBJECTS[kind] for kind in KINDS if known[kind]}
    if not kinds:
        frame.nothing_to_choose(current, "system, group or zone")
        return None
    left, right = st.columns(2)
    with left:
        kind = places.choose("Sheets for", "sheets", kinds)
    with right:
        key = places.choose(SUBJECTS[kind].split()[-1].capitalize(), kind, known[kind])
    return f"{kind}:{key}"


def _papers(live: Live, current: State, subject: str) -> None:
    row = st.container(horizontal=True)
    requirements = not subject.startswith("group:") and row.toggle(
        "With the 100 requirements", key="sheets_requirements", help="The requirements of IEC 62443-3-3 of each zone."
    )
    only_open = row.toggle(
        "Only open questions",
        key="sheets_open",
        help="Without an answer, not known, or to be confirmed or answered again.",
    )
    with_earlier = row.toggle(
        "With last time's answers",
        key="sheets_earlier",
        help="An earlier answer can be an anchor. Answers that a blind round hides are never printed.",
    )
    chosen = sheets(current, Selection(subject, requirements=requirements, only_open=only_open))
    wanted = evidence_to_bring(chosen)
    count = sum(len(sheet.questions) for sheet in chosen)
    if not count:
        st.info("No open question is left." if only_open else "No question is asked here.")
        return
    st.markdown(f"**{counted(count, 'question')}**, which look for {counted(len(wanted), 'piece')} of evidence.")
    paper = Paper(current.plant, subject, current.day, with_earlier=with_earlier)
    _downloads(live, state.person(), paper, chosen, wanted)
    _listed(current, paper, chosen, wanted)


def _downloads(live: Live, person: Person, paper: Paper, chosen: tuple[Sheet, ...], wanted: list[Wanted]) -> None:
    suffix = f"{paper.subject.replace(':', '-')}.pdf"
    with st.container(horizontal=True):
        frame.download(
            "Question sheets (PDF)",
            lambda: question_sheets.question_sheets(paper, chosen),
            lambda: exports.handed_out(live, person, f"question sheets of {paper.subject}", needs=NEEDS),
            file_name=f"question-sheets-{suffix}",
            mime="application/pdf",
        )
        frame.download(
            "Evidence to bring (PDF)",
            lambda: question_sheets.evidence_list(paper, wanted),
            lambda: exports.handed_out(live, person, f"evidence to bring for {paper.subject}", needs=NEEDS),
            file_name=f"evidence-to-bring-{suffix}",
            mime="application/pdf",
        )


def _listed(current: State, paper: Paper, chosen: tuple[Sheet, ...], wanted: list[Wanted]) -> None:
    """The same as tables, each drawn only while its fold is open."""
    folded = st.expander("The questions as a table", key="sheets_questions", on_change="rerun")
    if folded.open:
        with folded:
            tables.table(
                _question_rows(current, paper, chosen),
                key="sheet_questions",
                alt="Questions of the sheets",
                most=MOST_ROWS,
            )
    folded = st.expander("The evidence as a table", key="sheets_evidence", on_change="rerun")
    if folded.open:
        rows = [
            {
                "Topic": piece.topic,
                "Evidence": piece.what,
                "Questions": ", ".join(piece.questions),
                "For": addressees(piece.of),
            }
            for piece in wanted
        ]
        with folded:
            tables.table(rows, key="sheet_evidence", alt="Evidence to bring", most=MOST_ROWS)


def _question_rows(current: State, paper: Paper, chosen: tuple[Sheet, ...]) -> list[dict[str, str]]:
    rows = []
    for sheet in chosen:
        for item in sheet.questions:
            row = {
                "Question": item.question.id,
                "Text": item.question.text,
                "Why it matters": item.question.why,
                "Asked of": ", ".join(named(asked.of, current.plant) for asked in item.asked),
                "Sheet": f"{named(sheet.of, current.plant)}: {BANKS[sheet.bank]}",
            }
            if paper.with_earlier:
                values = [asked.earlier.value if asked.earlier else None for asked in item.asked]
                row["Last time"] = ", ".join(ANSWERS[value] if value else "–" for value in values)
            rows.append(row)
    return rows


page = frame.screen(_draw, needs=NEEDS)
