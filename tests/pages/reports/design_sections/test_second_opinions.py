"""Second opinions on paper: what is not answered says so, an answered method prints its sum and its evidence."""

from __future__ import annotations

import pytest

from checks.assessment.assessment import Assessment
from checks.questions.bank import banks
from checks.record_files.record_file import Record
from pages.reports.design_sections import second_opinions
from pages.reports.sections.reported_revision import reported_revision
from tests.checks.given import valid_plant
from tests.pages.reports.read import report, squeezed, text
from tests.pages.reports.recorded import Keeping

OF = {"plant": "plant", "system": "system:S30", "group": "group:pt-301"}


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Record:
    """A revision of S30 whose transmitters have every answer of Humphreys 1987: one factor at level A, the others at E."""
    keeping = Keeping(tmp_path_factory.mktemp("opinions"), valid_plant())
    for name, question in banks().opinions["humphreys"].items():
        keeping.answer(name, OF[question.asked_of], "level-a" if name == "HUM1" else "level-e")
    keeping.put_up("S30")
    return keeping.record("S30")


def test_the_report_prints_the_opinions_with_their_sum_and_says_what_is_not_answered(record: Record) -> None:
    """2400 + 51 - 8 = 2443 over 51000 is 4.8 %. Derived from Humphreys 1987 (closure)."""
    shown = squeezed(text(report(record)))
    assert squeezed("Beta of pt-301") in shown
    assert squeezed("2443 / 51000") in shown
    assert squeezed("4.8 %") in shown
    assert squeezed("All channels in one cabinet or on one rack") in shown
    assert squeezed("0 of 14 answered") in shown
    assert squeezed("Common Cause Failures and Ultra Reliability, AIAA 2012") in shown
    assert squeezed("The cyber scenario by each exposure rule") in shown


def test_nothing_is_shown_where_the_stored_figures_are_others(record: Record) -> None:
    reported = reported_revision(record)
    reported.assessment.reproduced = False
    (piece,) = second_opinions.second_opinions(reported)
    assert second_opinions.NOT_SHOWN in str(vars(piece))


def test_the_second_opinions_do_not_touch_the_stored_results(record: Record) -> None:
    """The revision with every answer of a further method has the results of the plant without them."""
    without = Assessment(valid_plant())
    assessment = reported_revision(record).assessment
    for key in record_functions(record):
        assert assessment.function(key).cases == without.function(key).cases


def record_functions(record: Record) -> list[str]:
    """Functions of the reported system."""
    return [function.id for function in reported_revision(record).functions]
