"""All collected values on redundancy: ``redundancy_cases.yaml``, each by the timeline or Annex B, or with the reason why by neither.

The file has source, clause, kind and confidence of each value as they were found. Cases whose source disagrees with itself are kept
with their note and are not matched.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
import yaml

from tests.handbook import redundancy_calculations as by
from tests.handbook.given import YEAR, printed
from tests.handbook.redundancy_calculations import Case, Values

CASES: dict[str, Case] = {
    case["id"]: case
    for case in yaml.safe_load(Path(__file__).with_name("redundancy_cases.yaml").read_text(encoding="utf-8"))
}
SIX_DIGITS = 5e-6

BY: dict[str, Callable[[Case], Values]] = {
    "math-pst": by.partial_stroke,
    "math-pfh": by.rate_of_failing,
    "math-": by.model,
    "iec-b334-ed2": by.high_demand,
    "iec-b9": by.table_b,
    "iec-b324": by.table_b,
    "tut-ptc85-1month": by.parts,
    "tut-ptc85-4month": by.tutorial,
    "tut-ccf-1oo2-curve": by.at_times,
    "tut-ccf": by.tutorial,
    "tut-1oo": by.tutorial,
    "tut-2oo3": by.tutorial,
    "tut-rare": by.rare_event,
    "tut-closed": by.closed_form,
    "hipps16-pt": by.worked,
    "hipps16-solenoid": by.worked,
    "hipps16-valve": by.worked,
    "switch-": by.data_sheet,
    "io-input": by.module,
    "gmi-diverse": by.diverse,
    "gmi-floor": by.floor,
    "level-switch": by.bounds,
}
"""Calculation of a case, by the beginning of its id; the first that fits."""
WITHOUT_COMMON_CAUSE = (
    "a group without redundancy has no common-cause part here (IEC 61508-6:2010, B.3.2.2), the source adds one"
)
NEITHER = {
    "iec-b334-ed1": "edition 1 of the standard also counts detected common-cause failures",
    "tut-pst": "coverage of assemblies, no redundancy",
    "tut-ptc-assembly": "coverage of assemblies, no redundancy",
    "hipps16-total": "sum of the rows before, one of which is a slip in the source",
    "gmi-formulas": "another convention: independent failures weighted once with 1 - beta",
    "sff-": "safe failure fraction",
    "str-": "spurious trips",
    "fact-": "a table of a standard, no calculation",
    "math-3oo3-l5e-06-b2": WITHOUT_COMMON_CAUSE,
    "math-2oo2-": WITHOUT_COMMON_CAUSE,
    "math-3oo3-": WITHOUT_COMMON_CAUSE,
}
"""Why a case is calculated by neither method, by the beginning of its id."""
LEFT_OUT = {
    "hipps16-solenoid-1oo2": {"PFDavg_with_CPT"},
    "hipps16-pt-2oo3": {"PFDavg_with_CPT"},
    "iec-b334-ed2-initial": {"SIL"},
    "math-staggered-2oo3": {"PFDavg_2_3"},
}
"""Values of a case that neither method has: their note in the file says why, or they are another approximation."""


def _reason(case: Case) -> str | None:
    for start, reason in NEITHER.items():
        if case["id"].startswith(start) and (reason != WITHOUT_COMMON_CAUSE or case["inputs"]["beta"] > 0):
            return reason
    return None


def _calculation(key: str) -> Callable[[Case], Values] | None:
    return next((calculation for start, calculation in BY.items() if key.startswith(start)), None)


CALCULATED = [key for key, case in CASES.items() if case["kind"] != "published-mismatch" and _reason(case) is None]


@pytest.mark.parametrize("key", CALCULATED)
def test_each_value_is_that_of_the_timeline_or_annex_b(key: str) -> None:
    """Source, clause and confidence stand with each case in the file. Confidence: read.

    A printed text is met to half a unit of its last digit, a number to the six digits that it has.
    """
    case, calculation = CASES[key], _calculation(key)
    assert calculation is not None
    ours = calculation(case)
    assert ours.keys() == case["expected"].keys() - LEFT_OUT.get(key, set())
    for name, value in ours.items():
        expected = case["expected"][name]
        if isinstance(expected, str):
            assert value == printed(expected), name
        else:
            assert value == expected or value == pytest.approx(expected, rel=SIX_DIGITS), name


def test_each_case_is_calculated_or_has_a_reason() -> None:
    """95 cases were collected. Confidence: read."""
    assert len(CASES) == 95
    for key, case in CASES.items():
        assert {"source", "clause", "kind", "confidence", "inputs", "expected"} <= case.keys()
        assert key in CALCULATED or case["kind"] == "published-mismatch" or _reason(case)


@pytest.mark.parametrize("key", [key for key, case in CASES.items() if case["kind"] == "published-mismatch"])
def test_a_value_that_its_own_source_contradicts_is_not_matched(key: str) -> None:
    """Kept with the note that says what is wrong with it. Confidence: read."""
    case = CASES[key]
    given = case["inputs"]
    assert case["note"]
    rate = given.get("lambda_DU_per_h", given.get("lambda_DU_FIT", 0.0) * 1e-9)
    years = given.get("T_y", 1)
    ours = by.simplified("1oo1", rate, years * YEAR, 0.0)
    if key == "hipps16-logic-1oo1":
        assert ours != printed(case["expected"]["PFDavg"])
    else:  # the number is lambda T / 2, the equation that the source prints beside it is 2 lambda T
        assert 4.0 * ours != printed(case["expected"]["PFD"])
