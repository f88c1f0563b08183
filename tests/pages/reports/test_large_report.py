"""A record with thousands of answers prints whole and in order; ``tests.bench`` measures how long one of ten thousand takes."""

from __future__ import annotations

import io
import re
from pathlib import Path

from pypdf import PdfReader

from checks.record_files import verification
from pages.reports import safety_report
from tests.pages.reports.read import entries
from tests.pages.reports.recorded import ANSWERS_OF_A_GROUP, DAY, record_of_many_answers

GROUPS = 100


def test_two_thousand_answers_print_whole_and_in_order(tmp_path: Path) -> None:
    record = record_of_many_answers(tmp_path, GROUPS * ANSWERS_OF_A_GROUP)
    assert list(verification.verify(record))
    document = PdfReader(io.BytesIO(safety_report.report(record, day=DAY)))
    headed = [name for _, name in entries(document.outline) if name.startswith("Group g-")]
    assert headed == [f"Group g-{at} Group {at}" for at in range(GROUPS)]
    last = next(at for at in reversed(range(len(document.pages))) if "LD-" in document.pages[at].extract_text())
    for at in (last - 80, last - 40, last):  # reading every page back takes longer than printing them
        assert len(re.findall(r"Loop drawing LD-\d+ rev 3", document.pages[at].extract_text())) > 1
