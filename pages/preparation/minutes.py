"""Minutes on the screen Prepare: the choice of system and days, the tables, and the downloads."""

from __future__ import annotations

from datetime import date, datetime, tzinfo
from typing import Any
from zoneinfo import ZoneInfo

import streamlit as st

from checks.access.roles import Person
from checks.record_files import exports
from checks.session_papers.minutes import Minutes, Period, minutes
from checks.state.live import Live, State
from pages.presentation.wording import counted, titled
from pages.reports import minutes as printed
from pages.reports.minutes import MinutesPaper
from pages.ui import frame, places, state, tables

WHOLE = "all"
MOST_ANSWERS = 5000
"""Maximum answers of the minutes: more are no session but an import."""
MOST_ROWS = 1000
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def draw(live: Live, current: State, needs: str) -> None:
    """Draw the minutes; ``needs`` is the permission with which their files are handed out."""
    st.markdown("## Minutes of a session")
    systems = {key: titled(key, system.name) for key, system in current.systems.items()}
    left, right = st.columns(2)
    with left:
        chosen = places.choose("Minutes of", "minutes", {WHOLE: "The whole plant", **systems})
    period = _period(right)
    if period is None:
        st.caption("Choose the first and the last day.")
        return
    person = state.person()
    found = minutes(live, current, person, None if chosen == WHOLE else chosen, period)
    st.markdown(_counts(found))
    if len(found.answers) > MOST_ANSWERS:
        st.info(f"Minutes hold at most {MOST_ANSWERS:,} answers: choose fewer days or one system.")
        return
    paper = MinutesPaper(found, current.plant, current.assessment.banks.questions, current.day)
    _downloads(live, person, paper, needs)
    folded = st.expander("The minutes as tables", key="minutes_tables", on_change="rerun")
    if folded.open:
        with folded:
            _tables(paper)


def _zone() -> tzinfo | None:
    """Time zone of the browser; None, that of this machine, where it does not say."""
    name = st.context.timezone
    return ZoneInfo(name) if name else None


def _period(place: Any) -> Period | None:
    """The chosen days, today by default; None while only the first one is chosen."""
    zone = _zone()
    today = datetime.now(zone).date() if zone else date.today()  # noqa: DTZ011  (the day of this machine)
    days = place.date_input("Days", (today, today), max_value=today, key="minutes_days", format="YYYY-MM-DD")
    return Period(days[0], days[1], zone) if isinstance(days, tuple) and len(days) == 2 else None


def _counts(found: Minutes) -> str:
    counts = (
        (len(found.present), "attendance"),
        (len(found.answers), "answer"),
        (len(found.confirmed), "confirmation"),
        (len(found.evidence), "piece of evidence"),
        (len(found.dissents), "dissent"),
        (len(found.actions), "action"),
    )
    plurals = {"piece of evidence": "pieces of evidence"}
    words = [
        f"{count} {plurals[noun]}" if noun in plurals and count != 1 else counted(count, noun) for count, noun in counts
    ]
    return f"On {printed.in_words(found.period)}: {', '.join(words)}."


def _downloads(live: Live, person: Person, paper: MinutesPaper, needs: str) -> None:
    found = paper.minutes
    of = f"{found.system or 'the whole plant'}, {printed.in_words(found.period)}"
    suffix = f"{found.system or 'plant'}-{found.period.first}"
    with st.container(horizontal=True):
        frame.download(
            "Minutes (PDF)",
            lambda: printed.as_pdf(paper),
            lambda: exports.handed_out(live, person, f"minutes of {of}, PDF", needs=needs),
            file_name=f"minutes-{suffix}.pdf",
            mime="application/pdf",
        )
        frame.download(
            "Minutes (XLSX)",
            lambda: printed.as_workbook(paper),
            lambda: exports.handed_out(live, person, f"minutes of {of}, XLSX", needs=needs),
            file_name=f"minutes-{suffix}.xlsx",
            mime=XLSX,
        )


def _tables(paper: MinutesPaper) -> None:
    for listed in paper.tables():
        st.markdown(f"### {listed.name}")
        if listed.rows:
            tables.table(
                listed.as_records(), key=f"minutes_{listed.name}", alt=f"Minutes: {listed.name}", most=MOST_ROWS
            )
        else:
            st.caption(listed.none)
    for remark in paper.remarks:
        st.caption(remark)
