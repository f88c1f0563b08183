"""What happened since the last signed revision is printed, and what belongs to the security half in the annex only."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from checks.reassessment import change_records, confirmations, failure_records
from checks.reassessment.failures import FailureRecord
from checks.reassessment.reopening import Change
from tests.checks.given import valid_plant
from tests.pages.reports.read import annex, report, text
from tests.pages.reports.recorded import TEAM, Keeping

NEW_MAKE = "Solenoid of one valve replaced by another make"
OPENED = "Remote support of the solver opened"
CHECKED = "Log of the workstation read, no download"
BOTH_STUCK = FailureRecord(
    on=date(2025, 6, 1),
    reference="FR-25-001",
    groups=("esv-301",),
    channels=("ESV-301A", "ESV-301B"),
    found_by="proof-test",
    others_checked=True,
    cause="Water in the common air header",
    cause_explained=True,
    period_h=0.0,
    coupling_named=True,
    inside_boundary=True,
    software_involved=False,
    looked_at=CHECKED,
)


def _change(kept: Keeping, kind: str, of: str, reference: str, what: str) -> None:
    on = kept.at.date().isoformat()
    change_records.record_change(kept.live, TEAM, Change(kind, frozenset({of})), reference=reference, on=on, what=what)


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    """Report and annex after a signed revision, two changes, a failure, a revision sent back twice, and a late change."""
    kept = Keeping(tmp_path_factory.mktemp("happened"), valid_plant())
    _change(kept, "bypass-standing", "group:esv-301", "ORG-1", "The bypass of one valve lasted a month")
    for asked in kept.live.state().records.to_confirm:
        confirmations.confirm_answers(kept.live, TEAM, [asked])
    kept.signed("S30")
    kept.later(90)
    _change(kept, "device-other-model", "group:esv-301", "MOC-1", NEW_MAKE)
    _change(kept, "remote-access", "zone:sis", "MOC-2", OPENED)
    failure_records.record_failure(kept.live, TEAM, BOTH_STUCK)
    kept.send_back(kept.put_up("S30"), half="safety", comments="Walk the air header down again")
    kept.send_back(kept.put_up("S30"), half="security", comments="The mode switch was not tried")
    kept.later(1)
    kept.put_up("S30")
    kept.later(1)
    _change(kept, "proof-test", "group:esv-301", "MOC-3", "Test put off by a year")
    record = kept.record("S30")
    return tuple(" ".join(text(made(record)).split()) for made in (report, annex))  # type: ignore[return-value]


def _of_section(shown: str) -> str:
    return shown.split(" Changes and failures ")[1].split(" Compared with the last signed revision ", maxsplit=1)[0]


def test_changes_since_the_last_signed_revision_are_listed_with_who_recorded_them(printed: tuple[str, str]) -> None:
    shown = _of_section(printed[0])
    assert "MOC-1" in shown
    assert NEW_MAKE in shown
    assert "2025-06-02 by FA-1" in shown
    assert "ORG-1" not in shown, "it was before that revision"
    assert shown.index("MOC-3") < shown.index("after revision 3 was fixed")
    assert shown.count("after revision 3 was fixed") == 1


def test_a_failure_has_its_verdict_on_common_cause_part_by_part(printed: tuple[str, str]) -> None:
    """The four parts of US NRC Administrative Letter 98-04: components, period, cause with coupling, boundary."""
    shown = _of_section(printed[0])
    for words in (
        "FR-25-001",
        "esv-301: ESV-301A, ESV-301B",
        "Water in the common air header",
        "Common-cause event: yes.",
        "Met: 2 channels failed",
        "Met: 0 h from first to last",
        "Met: one cause is explained",
        "Met: the channels themselves failed",
    ):
        assert words in shown, words


def test_what_is_of_the_security_half_is_only_in_the_annex(printed: tuple[str, str]) -> None:
    in_report, in_annex = _of_section(printed[0]), _of_section(printed[1])
    assert "Walk the air header down again" in in_report
    assert "Walk the air header down again" not in in_annex
    for words in (OPENED, CHECKED, "The mode switch was not tried"):
        assert words in in_annex
        assert words not in printed[0]
    assert "1 security change, listed in the security annex" in in_report
    assert "2, security The comment is listed in the security annex" in in_report


def test_a_change_of_the_security_half_that_invalidates_is_named_in_the_annex_only(tmp_path: Path) -> None:
    kept = Keeping(tmp_path, valid_plant())
    kept.signed("S30")
    kept.later(1)
    _change(kept, "remote-access", "zone:sis", "MOC-2", OPENED)
    record = kept.record("S30")
    in_report = " ".join(text(report(record)).split())
    assert "is void: a change of the security half, listed in the security annex" in in_report
    assert OPENED not in in_report
    assert OPENED in " ".join(text(annex(record)).split())


def test_who_entered_an_answer_of_somebody_else_is_printed_beside_its_author(tmp_path: Path) -> None:
    kept = Keeping(tmp_path, valid_plant())
    kept.answer("SEP1", "group:pt-301", "met", evidence="Hook-up H-9")
    kept.put_up("S30")
    shown = " ".join(text(report(kept.record("S30"))).split())
    assert re.search(r"TM-9(, \S+)? Entered by import, \d{4}-\d\d-\d\d", shown)
    own = shown.split("Hook-up H-9")[1]
    assert own.index("IT-3") < own.index("Entered by"), "the next one that somebody else entered"
    assert "IT-3 Entered by" not in shown, "its author entered it"


def test_what_the_failures_say_of_beta_is_a_section_of_the_safety_report_alone(printed: tuple[str, str]) -> None:
    said = printed[0].split(" Own failures as evidence ")[-1].split(" Compared with the last signed revision ")[0]
    assert "An opinion beside the calculation" in said
    assert "holds the failures of S30 alone" in said
    assert "2 failed channels in 1 event, 1 group" in said
    assert "half a common-cause event, centred on the beta in use" in said
    assert "no rate: pt-301" in said
    assert "Own failures as evidence" not in printed[1]
