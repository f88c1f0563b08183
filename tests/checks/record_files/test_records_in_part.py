"""A record shows a part of the plant: it still verifies and compares."""

from __future__ import annotations

from math import prod
from pathlib import Path

import pytest

from checks.assessment.assessment import Assessment
from checks.comparison.comparison import compare
from checks.plantfile.plant import Plant
from checks.record_files import verification
from checks.revision import basis
from checks.state.revision_status import VOID
from tests.checks.given import answer, plain, valid_plant
from tests.pages.reports.recorded import DAY, Keeping


def test_a_revision_whose_answers_changed_afterwards_verifies_and_says_that_it_is_void(tmp_path: Path) -> None:
    kept = Keeping(tmp_path, valid_plant())
    revision = kept.put_up("S30")
    kept.answer("SEP4", "group:pt-301", "met")
    record = kept.record("S30", revision.number)
    assert f"SHA-256 {revision.hash}" in "\n".join(verification.verify(record))
    revision_read = record.of(revision.number)
    assert revision_read is not None
    state, why = record.records().state(
        revision_read, DAY, basis.revision_assessment(record.revision).editions.bank_scores
    )
    assert state == VOID
    assert "SEP4 of group:pt-301 was answered met" in why


def test_an_answer_for_another_system_leaves_the_revision_of_a_record_as_it_was(tmp_path: Path) -> None:
    kept = Keeping(tmp_path, valid_plant())
    revision = kept.put_up("S30")
    kept.answer("SEP1", "group:con-210", "met")
    revision_read = kept.record("S30", revision.number).of(revision.number)
    assert revision_read is not None
    assert revision_read.voided is None


@pytest.mark.parametrize("voting", ["1oo2", "1oo3", "2oo3"])
def test_steps_of_one_system_multiply_to_the_whole_though_others_share_its_groups(voting: str) -> None:
    """S40 answers ASM1 worse than S30, and both use ls-sis, so S40's answer applies; S40's functions are cut out."""
    raw = plain()
    answers = [answer("ASM1", "system:S30"), answer("ASM1", "system:S40", "not-met"), answer("ASM2", "system:S30")]
    raw["answers"] = [answer.model_dump() for answer in answers]
    old = Assessment(Plant.model_validate(raw))
    channels = int(voting[-1])
    raw["groups"]["ls-sis"].update(voting=voting, channels=[["LS"]] * channels, proof_test={"interval_h": 8760})
    new = Assessment(Plant.model_validate(raw))
    cut = [basis.assessment_of(basis.facts(assessment, "S30")) for assessment in (old, new)]
    (change,) = compare(*cut, functions={"SIF-301"}).functions
    assert change.gain == pytest.approx(old.function("SIF-301").cases.adjusted / new.function("SIF-301").cases.adjusted)
    assert prod(step.gain for step in change.steps) == pytest.approx(change.gain, rel=1e-12)
