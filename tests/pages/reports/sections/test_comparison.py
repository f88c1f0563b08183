"""The comparison with the last signed revision says first which answers differ in value."""

from __future__ import annotations

from pathlib import Path

from tests.checks.given import valid_plant
from tests.pages.reports.read import annex, report, text
from tests.pages.reports.recorded import Keeping


def test_answers_that_differ_in_value_come_before_those_with_other_evidence(tmp_path: Path) -> None:
    kept = Keeping(tmp_path, valid_plant())
    kept.answer("ENV2", "group:pt-301", "met", evidence="Room log")
    kept.answer("SEP1", "group:pt-301", "met", evidence="Hook-up H-301", note="")
    kept.answer("Z01", "zone:field", "met", evidence="Drawing ND-1")
    kept.signed("S30")
    kept.later(30)
    kept.answer("ENV2", "group:pt-301", "not-met", evidence="Room log")
    kept.answer("SEP1", "group:pt-301", "met", evidence="Hook-up H-301 rev 2", note="walked down again")
    kept.answer("Z01", "zone:field", "met", evidence="Drawing ND-1 rev 2")
    kept.put_up("S30")
    record = kept.record("S30")
    shown = " ".join(text(report(record)).split()).split(" Compared with the last signed revision ")[1]
    assert "Common-cause half: 1 answer differs in value, 1 in evidence or note only." in shown
    assert "ENV2 of group:pt-301: met → not met" in shown
    assert "group:pt-301 evidence changed, note added: SEP1" in shown
    assert "SEP1 of group:pt-301: met" not in shown, "the same value is no change of it"
    assert shown.index("ENV2 of group:pt-301") < shown.index("evidence changed, note added: SEP1")
    assert "Security half: 0 answers differ in value, 1 in evidence or note only" in shown
    assert "Z01" not in shown
    beside = " ".join(text(annex(record)).split()).split(" Compared with the last signed revision ")[1]
    assert "0 answers differ in value, 1 in evidence or note only." in beside
    assert "zone:field evidence changed: Z01" in beside
