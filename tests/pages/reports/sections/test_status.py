"""Samples of the signers beside the signatures; those of the security half are in the annex only."""

from __future__ import annotations

from pathlib import Path

from checks.record_files.record_file import Record
from tests.checks.given import valid_plant
from tests.pages.reports import read
from tests.pages.reports.read import text
from tests.pages.reports.recorded import Keeping


def printed(record: Record, *, annex: bool) -> str:
    """The text of a report on one line."""
    return " ".join(text(read.annex(record) if annex else read.report(record)).split())


def test_the_report_lists_the_sample_of_the_assessor_and_the_annex_that_of_the_reviewer(tmp_path: Path) -> None:
    keeping = Keeping(tmp_path, valid_plant())
    keeping.signed("S30", turns=1)
    record = keeping.record("S30")
    (safety, security) = (
        next(signature["statement"]["sample"] for signature in record.signatures if signature["half"] == half)
        for half in ("safety", "security")
    )
    assert safety
    assert security
    named = ", ".join(f"{answer['question']} of {answer['of']}" for answer in safety)
    gaps = ", ".join(f"{answer['question']} of {answer['of']}" for answer in security)
    report, annex = printed(record, annex=False), printed(record, annex=True)
    assert f"drawn at random for the signer of the safety half: {named}." in report
    assert f"for the signer of the security half: {len(security)}, listed in the security annex." in report
    assert gaps not in report
    assert f"drawn at random for the signer of the security half: {gaps}." in annex


def test_the_report_prints_the_signed_statement_and_keeps_that_of_the_security_half_for_the_annex(
    tmp_path: Path,
) -> None:
    keeping = Keeping(tmp_path, valid_plant())
    keeping.signed("S30")
    report, annex = (printed(keeping.record("S30"), annex=annex) for annex in (False, True))
    assert "I, IA-1, independent assessor, reviewed the safety half of revision 0" in report
    assert "Signed statement of the security half It names gaps and is listed in the security annex." in report
    assert "I, SR-1, security reviewer, reviewed the security half of revision 0" in annex
    assert "I, SR-1," not in report
