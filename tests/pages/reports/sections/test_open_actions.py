"""Open actions on paper: common-cause actions in the report, security actions in the annex only."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from checks.actions import recorded_actions
from checks.plantfile import plant_file
from demo import load
from tests.pages.reports.read import annex, report, squeezed, text
from tests.pages.reports.recorded import TEAM, Keeping

OPEN = {"owner": "IT-3", "due": date(2025, 3, 5), "answer_to": "met"}


def _asked(*pairs: tuple[str, str]) -> list[dict[str, str]]:
    return [{"question": question, "of": of} for question, of in pairs]


def _interval(group: str) -> dict[str, str]:
    return {"group": group, "change": "interval", "was": "8760", "to": "4380"}


ACTIONS: dict[str, dict[str, Any]] = {
    "Stagger the tests of the valves": {"questions": _asked(("TST1", "group:esv-301")), "answer_from": "not-met"},
    "Lock the mode switch": {"questions": _asked(("L01", "zone:Z5")), "interim": "A seal on the key"},
    "Both at once": {"questions": _asked(("TST1", "group:esv-301"), ("L02", "zone:Z5"))},
    "Named by nobody": {"system": "S30"},
    "Of the tanks": {"questions": _asked(("TST1", "group:esv-701"))},
    "Valves each half year": {"plant_change": _interval("esv-301")},
    "Tanks each half year": {"plant_change": _interval("esv-701")},
    "Done with": {"questions": _asked(("SEP1", "group:pt-301")), "answer_from": "not-met"},
}


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    """Texts of report and annex of S30, without spaces."""
    kept = Keeping(tmp_path_factory.mktemp("under_way"), plant_file.read(load.PLANT))
    for what, more in ACTIONS.items():
        recorded_actions.raise_one(kept.live, TEAM, {"what": what, **OPEN, **more})
    recorded_actions.drop(kept.live, TEAM, f"A-{len(ACTIONS):03d}", reason="no longer there")
    kept.put_up("S30")
    record = kept.record("S30")
    return squeezed(text(report(record))), squeezed(text(annex(record)))


@pytest.mark.parametrize(
    ("what", "in_report", "in_annex"),
    [
        ("Stagger the tests of the valves", True, False),
        ("Lock the mode switch", False, True),
        ("Both at once", False, True),
        ("Named by nobody", False, True),
        ("Of the tanks", False, False),
        ("Valves each half year", True, False),
        ("Tanks each half year", False, False),
        ("Done with", False, False),
    ],
)
def test_an_action_is_in_the_document_of_its_answers_and_a_change_of_tests_in_the_report(
    shown: tuple[str, str], what: str, *, in_report: bool, in_annex: bool
) -> None:
    assert tuple(squeezed(what) in document for document in shown) == (in_report, in_annex)


def test_an_action_shows_owner_due_date_and_interim_measure(shown: tuple[str, str]) -> None:
    """Raised on 2025-03-04, printed on 2025-09-22: 202 days, counted on a calendar."""
    assert "A-002LockthemodeswitchInterim:AsealonthekeyL01ofzone:Z5IT-32025-03-05overdue202" in shown[1]


def test_a_record_without_actions_says_so(tmp_path: Path) -> None:
    kept = Keeping(tmp_path, plant_file.read(load.PLANT))
    kept.put_up("S50")
    assert "No open actions." in text(report(kept.record("S50")))
