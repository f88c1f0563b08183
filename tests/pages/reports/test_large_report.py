"""A record with ten thousand answers prints in less than a minute."""

from __future__ import annotations

import io
import re
from pathlib import Path
from time import process_time

from pypdf import PdfReader

from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Answer, Plant
from checks.questions.bank import banks
from checks.record_files import verification
from pages.reports import safety_report
from tests.checks.given import plain
from tests.pages.reports.read import entries
from tests.pages.reports.recorded import DAY, Keeping

FUNCTIONS, GROUPS = 20, 500
SECONDS = 60.0
"""Limit of processor time in seconds, which does not depend on the load of the machine."""


def large() -> Plant:
    """One system of 500 groups with some ten thousand answers of their own; invented."""
    raw = plain()
    sensor = raw["groups"]["pt-301"]
    raw["groups"] = {f"g-{at}": {**sensor, "name": f"Group {at}"} for at in range(GROUPS)}
    groups_per_function = GROUPS // FUNCTIONS
    raw["functions"] = {
        f"F-{at}": {
            "name": f"Function {at}",
            "demand": "low",
            "target_rrf": 100,
            "groups": [f"g-{at * groups_per_function + number}" for number in range(groups_per_function)],
        }
        for at in range(FUNCTIONS)
    }
    raw["systems"] = {"S30": {"functions": list(raw["functions"])}}
    raw["answers"] = []
    bare = Plant.model_validate(raw)
    names = [name for name in Assessment(bare).questioned("g-0") if banks().common_cause[name].asked_of == "group"]
    assert len(names) * GROUPS >= 7_500
    more = [name for name in Assessment(bare).questioned("g-0") if name not in names]
    names += more[: max(0, -(-10_000 // GROUPS) - len(names))]
    answers = [
        Answer(
            question=name, of=f"group:g-{at}", value="met", evidence=f"Loop drawing LD-{at} rev 3; walkdown photo {at}"
        )
        for at in range(GROUPS)
        for name in names
    ]
    assert len(answers) >= 10_000
    return bare.model_copy(update={"answers": answers})


def test_ten_thousand_answers_print_in_less_than_a_minute(tmp_path: Path) -> None:
    plant = large()
    kept = Keeping(tmp_path, plant)
    kept.put_up("S30")
    record = kept.record("S30")
    began = process_time()
    assert list(verification.verify(record))
    pdf = safety_report.report(record, day=DAY)
    took = process_time() - began
    assert took < SECONDS
    document = PdfReader(io.BytesIO(pdf))
    print(f"{len(plant.answers)} answers, {len(document.pages)} pages, {len(pdf)} bytes, {took:.1f} s")  # noqa: T201
    headed = [name for _, name in entries(document.outline) if name.startswith("Group g-")]
    assert headed == [f"Group g-{at} Group {at}" for at in range(GROUPS)]
    last = next(at for at in reversed(range(len(document.pages))) if "LD-" in document.pages[at].extract_text())
    for at in (last - 400, last - 200, last):  # reading every page back takes longer than printing them
        assert len(re.findall(r"Loop drawing LD-\d+ rev 3", document.pages[at].extract_text())) > 1
