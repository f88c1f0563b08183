"""What the Sign-off screen hands out, and to whom."""

from __future__ import annotations

import json
from collections.abc import Callable
from io import BytesIO
from zipfile import ZipFile

import pytest
import streamlit as st
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.access.roles import FACILITATOR, OWNER
from checks.record_files import record_file, verification
from checks.signoff import signatures
from checks.signoff.keys import enrol, withdraw
from pages.web import run_mode
from tests.checks.team import OWNS, Team, ahead
from tests.pages.at_the_screen import as_
from tests.pages.shown import Screen, fine, said, unescaped

Offered = dict[str, Callable[[], bytes | str]]


@pytest.fixture
def offered(monkeypatch: pytest.MonkeyPatch) -> Offered:
    """What gives each file that the screen offers, by its name."""
    files: Offered = {}

    def button(label: str, data: Callable[[], bytes | str], file_name: str, **_: object) -> bool:
        files[file_name] = data
        return not label

    monkeypatch.setattr(st, "download_button", button)
    return files


def _lines(text: str) -> list[str]:
    """What verification says of a record that was handed out."""
    return list(verification.verify(record_file.from_text("record", text)))


def test_the_report_the_annex_and_the_record_are_exported_and_entered_in_the_journal(
    team: Team, screen: Screen, offered: Offered
) -> None:
    team.signed()
    at = as_(screen("sign-off", system="S30"), "OW-1", OWNER)
    fine(at.text_input(key="reader").set_value("SR-9").run())
    before = team.count()
    papers = [offered[f"{name}-S30-0.pdf"]() for name in ("safety-report", "security-annex")]
    assert [paper[:5] for paper in papers] == [b"%PDF-", b"%PDF-"]
    record = str(offered["record-S30-0.json"]())
    assert _lines(record)
    assert "export_signature" not in json.loads(record)
    assert "signed as whole" not in said(at)
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


def test_an_installation_with_an_enrolled_key_signs_the_records_that_it_hands_out(
    team: Team, screen: Screen, offered: Offered, monkeypatch: pytest.MonkeyPatch
) -> None:
    private = Ed25519PrivateKey.generate()
    public = signatures.public_text(private.public_key())
    named = signatures.key_id(public)
    monkeypatch.setattr(run_mode, "export_key", lambda: private)
    team.signed()

    def opened() -> str:
        at = as_(screen("sign-off", system="S30"), "OW-1", OWNER)
        return unescaped(said(fine(at.text_input(key="reader").set_value("SR-9").run())))

    shown = opened()
    assert f"Records handed out here are not signed: the key of this installation, {named}, is not enrolled" in shown
    assert public in shown
    assert not any("whole record is held" in line for line in _lines(str(offered["record-S30-0.json"]())))

    enrol(team.live, OWNS, public=public, name="Review server", roles=[OWNER])
    assert f"Records handed out here are signed as whole with the key of this installation, {named}." in opened()
    held = f"the whole record is held by the signature of Review server (key {named})"
    assert held in _lines(str(offered["record-S30-0.json"]()))
    packed = offered["hand-out-S30-0.zip"]()
    assert isinstance(packed, bytes)
    with ZipFile(BytesIO(packed)) as together:
        assert held in _lines(together.read("record-S30-0.json").decode())

    withdraw(team.live, OWNS, key=named, from_day=ahead(0), reason="the server was replaced")
    assert "Records handed out here are not signed" in opened()
