"""A signature covers the open actions of its system when given; older ones without that list remain valid."""

from __future__ import annotations

import io
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from checks.access.roles import OWNER, Person
from checks.actions import recorded_actions
from checks.journal.store import Store
from checks.record_files import exports, record_file, verification
from checks.signoff import accepted_gaps, statement
from checks.signoff.revisions import fixed_body
from checks.signoff.sign_off import NotSigned
from checks.state.revision_status import SIGNED, Revision
from pages.reports import safety_report, security_annex
from tests import demo_database
from tests.checks.record_files.handed import verdict
from tests.checks.record_files.test_openssl_alone import run
from tests.checks.team import ANSWERS, DAY, OWNS, Team, ahead, full_terms

DUE = DAY + timedelta(days=60)
NOT_LISTED = "open actions not listed (signature of an older release)"


def asked(question: str, of: str) -> list[dict[str, str]]:
    return [{"question": question, "of": of}]


def raised(team: Team, what: str, **fields: Any) -> None:
    recorded_actions.raise_one(team.live, ANSWERS, {"what": what, "owner": "TM-2", "due": DUE, **fields})


@pytest.fixture
def busy(team: Team) -> Team:
    """Six actions: three open ones that concern S30, one of S50, one closed and one dropped."""
    raised(team, "Split the taps", questions=asked("SEP1", "group:pt-301"))
    raised(team, "Of the drum", system="S50", questions=asked("SEP1", "group:lt-501"))
    raised(team, "Train the crew — 阀门", system="S30")
    raised(team, "Closed by now", system="S30")
    raised(team, "Given up", system="S30")
    raised(team, "Screen the contractors", questions=asked("PRO1", "plant"))
    recorded_actions.close(team.live, ANSWERS, "A-004", evidence="walk-down 31", verifier="OW-1")
    recorded_actions.drop(team.live, ANSWERS, "A-005", reason="no longer there")
    return team


@pytest.fixture
def unlisted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Sign like an older program that did not list actions."""
    today = statement.fields

    def before(*given: Any, **options: Any) -> dict[str, Any]:
        return {name: value for name, value in today(*given, **options).items() if name != "open_actions"}

    monkeypatch.setattr(statement, "fields", before)


def texts(record: str) -> list[str]:
    """Texts of report and annex, without spaces."""
    exported = record_file.from_text("record", record)
    printed = (safety_report.report(exported, day=DAY), security_annex.annex(exported, reader="SR-9", day=DAY))
    pages = (PdfReader(io.BytesIO(document)).pages for document in printed)
    return ["".join("".join(page.extract_text() for page in document_pages).split()) for document_pages in pages]


def test_an_action_added_after_the_list_was_shown_is_not_signed_unseen(busy: Team) -> None:
    revision = busy.put_up()
    shown = as_shown(busy, revision)
    raised(busy, "Raised a moment ago", system="S30")
    with pytest.raises(NotSigned, match="the statement has changed since it was shown, such as an open action"):
        busy.sign("safety", shown=shown)
    assert busy.latest().signatures == {}
    signed = busy.sign("safety", shown=as_shown(busy, revision)).content["statement"]
    assert signed["open_actions"][-1]["what"] == "Raised a moment ago"
    assert "A-007 Raised a moment ago (TM-2, due" in signed["text"]


def as_shown(team: Team, revision: Revision) -> str:
    """The statement of the safety half as the screen shows it."""
    terms = full_terms(team.live, revision, "safety", "IA-1")
    fixed = fixed_body(team.live, revision)
    return str(statement.fields(team.now(), fixed, revision, "IA-1", half="safety", terms=terms)["text"])


@pytest.mark.parametrize("half", ["safety", "security"])
def test_each_half_states_the_open_actions_of_the_system(busy: Team, half: str) -> None:
    busy.put_up()
    stated = busy.sign(half).content["statement"]
    assert stated["open_actions"] == [
        {"id": key, "what": what, "owner": "TM-2", "due": DUE.isoformat(), "state": "open"}
        for key, what in (
            ("A-001", "Split the taps"),
            ("A-003", "Train the crew — 阀门"),
            ("A-006", "Screen the contractors"),
        )
    ]


def test_the_statement_stays_the_same_when_an_action_ends_later(busy: Team) -> None:
    busy.put_up()
    busy.sign("safety")
    recorded_actions.close(busy.live, ANSWERS, "A-001", evidence="walk-down 32", verifier="OW-1")
    busy.sign("security")
    signatures = busy.latest().signatures
    assert signatures["safety"].open_actions == ("A-001", "A-003", "A-006")
    assert signatures["security"].open_actions == ("A-003", "A-006")
    assert busy.state()[0] == SIGNED
    status, lines = verdict(busy.export())
    assert status == 0
    assert [line.rpartition("; ")[2] for line in lines if ": signed by " in line] == [
        "open actions: A-001, A-003, A-006",
        "open actions: A-003, A-006",
    ]


def test_openssl_and_the_database_hold_to_the_listed_actions(busy: Team, tmp_path: Path) -> None:
    busy.signed()
    line, _ = verification.verify_store(busy.store)
    assert line.startswith("Quillmarch Works: ")
    record = busy.export()
    (tmp_path / "record.json").write_text(record, encoding="utf-8")
    assert run(tmp_path).stdout.splitlines() == ["Signature Verified Successfully"] * 2
    start = record.index('"signatures": ')
    changed = record[:start] + record[start:].replace("Split the taps", "Paint the taps", 1)
    (tmp_path / "record.json").write_text(changed, encoding="utf-8")
    assert run(tmp_path).returncode != 0
    assert verdict(changed)[0] == 1


def test_report_and_annex_say_what_each_signature_covers(busy: Team) -> None:
    busy.say("Z01", "zone:sis", "not-met")
    accepted_gaps.accept_gaps(busy.live, OWNS, [("S30", "sis", "Z01")], reason="locked and alarmed", until=ahead(90))
    busy.signed()
    for text in texts(busy.export()):
        assert text.count("openactions:A-001,A-003,A-006") == 2
        assert text.count("openactions:A-001,A-003,A-006;1acceptedresidualrisk") == 1


@pytest.mark.usefixtures("unlisted")
def test_an_older_signature_without_actions_remains_valid_everywhere(busy: Team, tmp_path: Path) -> None:
    revision = busy.signed()
    assert busy.state() == (SIGNED, "revision 0: both halves")
    assert [signature.open_actions for signature in revision.signatures.values()] == [None, None]
    line, _ = verification.verify_store(busy.store)
    assert line.startswith("Quillmarch Works: ")
    record = busy.export()
    status, lines = verdict(record)
    assert (status, sum(": signed by " in line for line in lines)) == (0, 2)
    assert "open actions" not in "".join(lines)
    (tmp_path / "record.json").write_text(record, encoding="utf-8")
    assert run(tmp_path).stdout.splitlines() == ["Signature Verified Successfully"] * 2
    for text in texts(record):
        assert text.count("".join(NOT_LISTED.split())) == 2


@pytest.mark.parametrize("odd", ["x", [3], [{"what": "no id"}], 7, {"id": "A-001"}])
def test_a_list_of_another_form_is_refused_by_verify(team: Team, monkeypatch: pytest.MonkeyPatch, odd: object) -> None:
    today = statement.fields
    monkeypatch.setattr(statement, "fields", lambda *given, **more: {**today(*given, **more), "open_actions": odd})
    team.signed()
    assert verdict(team.export()) == (1, ["the signatures: this program never writes this form"])


def test_signatures_of_the_demo_name_the_actions_of_their_day(tmp_path: Path) -> None:
    """Read from ``demo/history``: A-001 raised in 2023, closed in 2024 and reopened in March 2025; A-002 to A-005 before May."""
    store = Store(f"sqlite:///{demo_database.written(tmp_path / 'demo.sqlite3')}")
    live = exports.plant_with(store, "S30")
    _, *revisions = live.state().records.revisions["S30"]  # nobody signed the contractor's report
    for revision, ids in zip(
        revisions, ((), ("A-001",), tuple(f"A-00{number}" for number in range(1, 6))), strict=True
    ):
        assert {signature.open_actions for signature in revision.signatures.values()} == {ids}
        text = exports.export(live, Person("AO-1", frozenset({OWNER})), revision)
        assert verdict(text)[0] == 0
