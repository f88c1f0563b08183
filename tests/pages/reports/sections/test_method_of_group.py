"""The report of a revision with a beta method of one group's own: method, edition, reason, its answers and its calculation."""

from __future__ import annotations

import pytest

from checks.questions.bank import banks
from checks.record_files.record_file import Record
from checks.recording import group_method
from tests.checks.given import valid_plant
from tests.pages.reports.read import annex, report, squeezed, text
from tests.pages.reports.recorded import TEAM, Keeping

GROUP, REASON = "pt-301", "the machine's own assessment covers these sensors"
OF = {"plant": "plant", "system": "system:S30", "group": f"group:{GROUP}"}


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Record:
    """A revision of S30 whose transmitters have the checklist of ISO 13849-1 as their method, with one question open."""
    plant = valid_plant().model_copy(update={"format": 2})
    keeping = Keeping(tmp_path_factory.mktemp("own"), plant)
    seen = keeping.live.state().version.data
    group_method.choose(keeping.live, TEAM, GROUP, "iso13849-1", REASON, seen=seen)
    for name, question in list(banks().opinions["iso13849"].items())[1:]:
        keeping.answer(name, OF[question.asked_of], "met", evidence=f"certificate of {name}")
    keeping.put_up("S30")
    return keeping.record("S30")


def test_the_report_names_method_edition_reason_house_rules_and_answers(record: Record) -> None:
    """ISO 13849-1 Annex F: 2 % from 65 points on (read)."""
    shown = squeezed(text(report(record)))
    for words in (
        f"Beta of {GROUP}",
        "iso13849-1 edition 1",
        f"Chosen because: {REASON}",
        "an open question counts at its worst grade (house rule)",
        "beta of groups: iso13849",
        "65 or more, beta = 0.02",
        "beta_D,int = beta_int = 0.02 (house rule)",
        "certificate of",
        "second opinion here",
    ):
        assert squeezed(words) in shown, words


def test_the_annex_is_printed_too(record: Record) -> None:
    assert squeezed(GROUP) in squeezed(text(annex(record)))
