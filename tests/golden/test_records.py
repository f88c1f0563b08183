"""Records of earlier releases verify, and print the figures that were signed."""

from __future__ import annotations

import json
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from checks.__main__ import main
from checks.record_files import record_file as record_files
from checks.text.number_format import measure
from pages.reports import safety_report

DAY = date(2026, 11, 27)


def test_a_record_verifies(record_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(record_file)]) == 0
    output = capsys.readouterr().out
    assert "each fits the one before" in output
    assert "figures: " in output


def test_the_report_prints_the_stored_figures(printed_record: Path) -> None:
    record = record_files.read(printed_record)
    functions = json.loads(printed_record.read_text())["revision"]["results"]["functions"]
    assert functions
    missing = set(functions)
    for function in functions.values():
        cases = function["pfd"] if function["demand"] == "low" else function["pfh"]
        missing |= {measure(function["demand"], cases[case]) for case in ("single", "ideal", "scored", "adjusted")}
    for page in PdfReader(BytesIO(safety_report.report(record, day=DAY))).pages:
        text = page.extract_text()
        missing = {wanted for wanted in missing if wanted not in text}
        if not missing:
            break  # to read a page takes as long as to print it
    assert not missing


def test_the_annex_prints(printed_record: Path, tmp_path: Path) -> None:
    paper = tmp_path / "annex.pdf"
    command = ["report", str(printed_record), "-o", str(paper), "--annex", "--reader", "security reviewer SR-2"]
    assert main(command) == 0
    assert "security reviewer SR-2" in PdfReader(paper).pages[0].extract_text()
