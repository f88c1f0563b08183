"""The screen Prepare: papers of a system, a group or a zone, entered in the audit trail when they are downloaded."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from checks.access.roles import VIEWER
from checks.journal.store import Store
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


@pytest.mark.usefixtures("store")
def test_a_viewer_gets_no_papers(screen: Screen) -> None:
    assert "Nothing is shown here" in said(as_(screen("prepare"), "VW-1", VIEWER))
