"""The report names who attended, and which entries were corrected."""

from __future__ import annotations

from pathlib import Path

from checks.recording import answer_records
from checks.state.live import Live
from tests.checks.given import valid_plant
from tests.pages.reports import read
from tests.pages.reports.read import text
from tests.pages.reports.recorded import TEAM, Keeping


def correct(live: Live, name: str) -> None:
    answer_records.correct_attendance(
        live, TEAM, system="S30", on="2025-03-04", name=name, reason="taken from the list of another meeting"
    )


def test_a_corrected_attendance_leaves_the_table_and_stands_below_it_with_its_reason(tmp_path: Path) -> None:
    keeping = Keeping(tmp_path, valid_plant())
    keeping.attend("S30", ("OP-1", "operations"), ("XX-9", "guest"))
    correct(keeping.live, "XX-9")
    keeping.put_up("S30")
    report = " ".join(text(read.report(keeping.record("S30"))).split())
    table, below = report.split("Corrected: ")
    assert below.startswith("XX-9 did not attend on 2025-03-04 (taken from the list of another meeting)")
    assert "OP-1 2025-03-04" in table
    assert "XX-9 2025-03-04" not in table
