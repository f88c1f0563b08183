"""What the Sign-off screen hands out, and to whom."""

from __future__ import annotations

from collections.abc import Callable

import pytest
import streamlit as st

from checks.access.roles import FACILITATOR, OWNER
from checks.record_files import record_file, verification
from tests.checks.team import Team
from tests.pages.at_the_screen import as_
from tests.pages.shown import Screen, fine, unescaped


def test_the_report_the_annex_and_the_record_are_exported_and_entered_in_the_journal(
    team: Team, screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    offered: dict[str, Callable[[], bytes | str]] = {}

    def button(label: str, data: Callable[[], bytes | str], file_name: str, **_: object) -> bool:
        offered[file_name] = data
        return not label

    monkeypatch.setattr(st, "download_button", button)
    team.signed()
    at = as_(screen("sign-off", system="S30"), "OW-1", OWNER)
    fine(at.text_input(key="reader").set_value("SR-9").run())
    before = team.count()
    papers = [offered[f"{name}-S30-0.pdf"]() for name in ("safety-report", "security-annex")]
    assert [paper[:5] for paper in papers] == [b"%PDF-", b"%PDF-"]
    record = str(offered["record-S30-0.json"]())
    assert list(verification.verify(record_file.from_text("record", record)))
    exports = [(event.content["what"], event.by) for event in team.store.events(1, after=before, kinds=("export",))]
    assert exports == [(what, "OW-1") for what in ("safety report", "security annex for SR-9", "record")]


def test_a_facilitator_is_offered_no_record_while_a_blind_round_hides_answers_of_it(team: Team, screen: Screen) -> None:
    team.signed()
    team.hide_all()
    at = fine(as_(screen("sign-off", system="S30"), "FA-1", FACILITATOR))
    (told,) = (unescaped(info.value) for info in at.info if "blind round" in info.value)
    assert told.startswith("No record and no report: a blind round hides ")
    assert told.endswith("by the security reviewer or independent assessor or owner, who do not answer.")
    assert "Revision to export" not in [box.label for box in at.selectbox]
    assert "Revision to export" in [box.label for box in as_(at, "OW-1", OWNER).selectbox]
