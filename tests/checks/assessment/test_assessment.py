"""The function on which an answer is measured: the worst that it can change by one per cent or more (house rule)."""

from __future__ import annotations

from typing import Any

import pytest

from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Answer, Plant
from tests.checks.given import answer, plain

SOLVER = "group:ls-sis"
SCORED = [
    answer(name, SOLVER) for name in ("SEP1", "SEP2", "DIV1", "DIV7", "CPX1", "CPX2", "CPX3", "CPX4", "TST1", "ENV1")
]
"""Claims that bring the logic solver into a better class than the worst, so that exposure can raise its beta."""
EXPOSED = answer("Z01", "zone:sis", "not-met")


def _plant(*answers: Answer, **target: float) -> dict[str, Any]:
    raw = plain()
    raw["answers"] = [given_answer.model_dump() for given_answer in answers]
    raw["functions"]["SIF-401"].update(target)
    return raw


def _read(raw: dict[str, Any]) -> Assessment:
    return Assessment(Plant.model_validate(raw))


def _with_total(raw: dict[str, Any], total: float) -> Assessment:
    """The plant with SIF-401 at this PFD, by the rates of its single transmitter.

    The PFD of one channel is proportional to its rates where their ratio stays (IEC 61508-6:2010, B.3.2.2.1, from memory).
    """
    before, device = _read(raw), raw["devices"]["TT"]
    others = before.function("SIF-401").cases.adjusted - before.group("tt-401").pfd.adjusted
    factor = (total - others) / before.group("tt-401").pfd.adjusted
    device.update({name: device[name] * factor for name in ("lambda_du_fit", "lambda_dd_fit")})
    scaled = _read(raw)
    assert scaled.function("SIF-401").cases.adjusted == pytest.approx(total, rel=1e-9)
    worst = scaled.worst_function(["ls-sis"])
    assert worst is not None
    assert worst.id == "SIF-401", "the worst function that uses the group"
    return scaled


SHARES = pytest.mark.parametrize(("share", "worst"), [(0.0099, "SIF-301"), (0.0101, "SIF-401")])


@SHARES
def test_a_function_to_which_common_cause_contributes_less_than_one_per_cent_does_not_count(
    share: float, worst: str
) -> None:
    raw = _plant(target_rrf=1e6)
    split = _read(raw).group("ls-sis").low.scored
    assert split is not None
    shared = float(split.shared)
    function = _with_total(raw, shared / share).worst_by_common_cause(["ls-sis"])
    assert function is not None
    assert function.id == worst


@SHARES
def test_a_function_to_which_exposure_contributes_less_than_one_per_cent_does_not_count(
    share: float, worst: str
) -> None:
    raw = _plant(*SCORED, EXPOSED, target_rrf=1e6)
    cases = _read(raw).group("ls-sis").pfd
    function = _with_total(raw, (cases.adjusted - cases.scored) / share).worst_by_exposure(["ls-sis", "esv-301"])
    assert function is not None
    assert function.id == worst


def test_where_no_function_can_be_moved_the_worst_is_shown() -> None:
    assessment = _read(_plant())
    worst = assessment.worst_function(["tt-401"])
    assert worst is not None
    assert assessment.worst_by_common_cause(["tt-401"]) == worst
