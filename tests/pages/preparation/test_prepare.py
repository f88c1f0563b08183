"""The screen Prepare: papers of a system, a group or a zone, entered in the audit trail when they are downloaded."""

from __future__ import annotations

import io
from datetime import date

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from checks.access.roles import MEMBER, VIEWER, Person
from checks.journal.store import Store
from checks.recording.answering import record
from checks.state.live import Live
from tests.pages.at_the_screen import as_, unfold
from tests.pages.reports.read import squeezed, text
from tests.pages.shown import Handed, Screen, fine, rows, said


def test_the_sheets_of_a_group_are_downloaded_and_entered(store: Store, screen: Screen, handed_over: Handed) -> None:
    at = fine(screen("prepare", sheets="group", group="pt-301"))
    assert "**26 questions**" in said(at)
    printed = squeezed(text(PdfReader(io.BytesIO(handed_over("question-sheets-group-pt-301.pdf")))))
    assert "Lasttime" not in printed
    at.toggle(key="sheets_earlier").set_value(True).run()
    printed = squeezed(text(PdfReader(io.BytesIO(handed_over("question-sheets-group-pt-301.pdf")))))
    assert "Lasttime" in printed
    assert handed_over("evidence-to-bring-group-pt-301.pdf").startswith(b"%PDF")
    entered = [event.content["what"] for event in store.events(1, kinds=["export"])][-3:]
    assert entered == ["question sheets of group:pt-301"] * 2 + ["evidence to bring for group:pt-301"]


@pytest.mark.usefixtures("store")
def test_questions_and_evidence_stand_as_tables_too(screen: Screen) -> None:
    at = unfold(fine(screen("prepare", sheets="zone", zone="Z5")), "sheets_questions", "sheets_evidence")
    assert len(rows(at, "Questions of the sheets")) == 60
    assert rows(at, "Evidence to bring")
    fine(at.toggle(key="sheets_requirements").set_value(True).run())
    assert len(rows(at, "Questions of the sheets")) == 160


def test_the_minutes_of_today_are_shown_downloaded_and_entered(
    store: Store, screen: Screen, handed_over: Handed
) -> None:
    team = Live(store, 1)
    seen = team.state().stored[("SEP1", "group:pt-301")].id
    fields = {"question": "SEP1", "of": "group:pt-301", "value": "not-met", "evidence": "=photo 5512", "note": ""}
    record(team, Person("TM-7", frozenset({MEMBER})), {**fields, "on": "2025-03-04"}, seen=seen)
    at = unfold(fine(screen("prepare", minutes="S30")), "minutes_tables")
    assert "1 answer," in said(at)
    (row,) = rows(at, "Minutes: Answers")
    assert (row["Before"], row["After"], row["By"]) == ("Partly", "Not met", "TM-7")
    assert row["Question"].startswith("SEP1: Does the signal cable")
    today = date.today()  # noqa: DTZ011  (the day of this machine)
    printed = squeezed(text(PdfReader(io.BytesIO(handed_over(f"minutes-S30-{today}.pdf")))))
    for words in (*row.values(), "invented data - not for use", "No dissent was recorded"):
        assert squeezed(words) in printed
    book = load_workbook(io.BytesIO(handed_over(f"minutes-S30-{today}.xlsx")))
    assert book.sheetnames == ["Present", "Answers", "Evidence", "Dissents", "Actions", "About"]
    assert [cell.value for cell in book["Answers"][2]] == list(row.values())
    assert "invented data - not for use" in [row[0].value for row in book["About"].rows]
    entered = [event.content["what"] for event in store.events(1, kinds=["export"])][-2:]
    assert entered == [f"minutes of S30, {today}, {kind}" for kind in ("PDF", "XLSX")]


@pytest.mark.usefixtures("store")
def test_a_viewer_gets_no_papers(screen: Screen) -> None:
    assert "Nothing is shown here" in said(as_(screen("prepare"), "VW-1", VIEWER))
