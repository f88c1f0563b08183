"""Results of what format 2 adds: stated results, several tests, another voting in one function, alternatives, SIL targets."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from checks.analysis import beta_curves
from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import remarks
from checks.plantfile.plant import Answer, Plant
from checks.reach import compromise
from checks.text.number_format import target
from tests.checks.given import plain_2

PLANT = Plant.model_validate(plain_2())
NOW = Assessment(PLANT)
CASES = ("single", "ideal", "scored", "adjusted")
HOUR = 1e-9
"""One FIT in failures per hour."""


def _assessed(change: Any = None) -> Assessment:
    raw = plain_2()
    if change:
        change(raw)
    return Assessment(Plant.model_validate(raw))


def test_a_stated_result_is_the_same_in_all_four_cases_and_asks_nothing() -> None:
    solver = NOW.group("ls")
    assert {getattr(solver.pfd, case) for case in CASES} == {1.2e-4}
    assert {getattr(solver.pfh, case) for case in CASES} == {1.4e-8}
    assert (solver.asked, solver.betas, solver.score, solver.arrangement) == (0, None, None, "stated result")
    assert solver.measured("pfd").terms.stated == 1.2e-4


def test_its_zone_still_defeats_the_function() -> None:
    assert [way.zone for way in compromise.ways(NOW, "SIF-1")] == ["sis"]
    assert "ls" in compromise.unmoved(NOW, "SIF-1")


def test_several_tests_of_devices_in_series_add_up_as_written_out_by_hand() -> None:
    """t_i and the shared part after the sums over devices and tests. Source: house design 5.1, written out. Confidence: derived."""
    esv, group = PLANT.groups["esv"], NOW.group("esv")
    assert group.betas is not None
    beta, beta_d = group.betas.beta, group.betas.beta_d
    solenoid, valve, detected = 300 * HOUR, 900 * HOUR, 15 * HOUR
    tests = {8760.0: (0.95, 0.95 - 0.6), 720.0: (0.0, 0.6), 87600.0: (0.05, 0.05)}

    def undetected(order: int) -> float:
        return sum(
            (solenoid * of_solenoid + valve * of_valve) * (interval / order + 24.0)
            for interval, (of_solenoid, of_valve) in tests.items()
        )

    rate = solenoid + valve + detected
    down = [(undetected(i + 1) + detected * 24.0) / rate for i in (1, 2)]
    lam = (1 - beta_d) * detected + (1 - beta) * (solenoid + valve)
    split = group.measured("pfd").scored
    assert split is not None
    assert split.independent == pytest.approx(2 * lam * down[0] * lam * down[1], rel=1e-12)
    assert split.shared == pytest.approx(beta_d * detected * 24.0 + beta * undetected(2), rel=1e-12)
    assert len(esv.tests) == 3


def test_time_in_test_and_test_error_are_in_every_case_and_outside_beta() -> None:
    """Two channels tested at different times, two hours each a year, the whole group out; one test in a thousand fails it."""
    without = _assessed(lambda raw: raw["groups"]["esv"]["tests"][0].update(duration_h=0, error=0))
    before, after = without.group("esv"), NOW.group("esv")
    for case in CASES:
        more = getattr(after.pfd, case) - getattr(before.pfd, case)
        assert more == pytest.approx(2 * 2 / 8760 + 0.001, rel=1e-9)
        assert getattr(after.pfh, case) - getattr(before.pfh, case) == pytest.approx(0.001 / 8760, rel=1e-6)
    assert before.betas == after.betas


def test_the_rest_that_no_test_finds_lasts_until_the_end_of_the_mission() -> None:
    """A single valve of 900 FIT, 95 % found every year, mission 15 years: C l T/2 + (1-C) l MT/2, as in Functional Safety 2016."""

    def single(raw: dict[str, Any]) -> None:
        raw["groups"]["esv"] |= {
            "voting": "1oo1",
            "channels": [["ESV"]],
            "mrt_h": 0,
            "tests": [{"interval_h": 8760, "coverage": 0.95}],
        }

    expected = 900 * HOUR * (0.95 * 8760 / 2 + 0.05 * 131400 / 2)
    assert _assessed(single).group("esv").pfd.scored == pytest.approx(expected)


def test_a_function_votes_the_same_channels_otherwise() -> None:
    alone = _assessed(lambda raw: raw["groups"]["pt"].update(voting="1oo3")).group("pt")
    entry = NOW.function("SIF-1").entry_of("pt")
    assert entry.arrangement == "1oo3"
    assert entry.measured.cases == alone.pfd
    assert NOW.group("pt").arrangement == "2oo3"
    assert NOW.function("SIF-3").entry_of("pt").arrangement == "2oo3"


def test_an_answer_of_the_group_moves_the_function_that_votes_it_otherwise() -> None:
    met = [
        Answer.model_validate({"question": name, "of": "group:pt", "value": "met", "evidence": "e"})
        for name in NOW.questioned("pt")
    ]
    after = NOW.with_answers(met)
    assert after.function("SIF-1").cases.scored < NOW.function("SIF-1").cases.scored


def test_alternatives_multiply_and_share_what_is_stated() -> None:
    flow, pressure = NOW.group("ft"), NOW.group("pt")
    entry = NOW.function("SIF-2").entry_of("ft")
    assert entry is NOW.function("SIF-2").entry_of("pt")
    assert (entry.id, entry.arrangement, entry.redundant) == ("ft or pt", "any", True)
    cases = entry.measured.cases
    assert cases.ideal == pytest.approx(flow.pfd.ideal * pressure.pfd.ideal)
    assert cases.scored == pytest.approx(
        flow.pfd.scored * pressure.pfd.scored + 0.02 * min(flow.pfd.scored, pressure.pfd.scored)
    )
    assert cases.single == min(flow.pfd.single, pressure.pfd.single)
    assert sum(NOW.function("SIF-2").share.values()) == pytest.approx(1.0)


def test_a_group_has_its_own_moon_factor_and_a_beta_of_the_group_none() -> None:
    pressure, flow = NOW.group("pt").betas, NOW.group("ft").betas
    assert pressure is not None
    assert flow is not None
    assert pressure.voting_factor == 1.0
    assert (flow.beta, flow.beta_d) == (0.05, 0.025)
    common = _assessed(lambda raw: raw["groups"]["pt"].pop("conventions")).group("pt").betas
    assert common is not None
    assert common.voting_factor == 1.5  # IEC 61508-6:2010 Table D.5, 2oo3 (from memory)


@pytest.mark.parametrize("function", ["SIF-1", "SIF-2"])
def test_the_curve_passes_through_the_result_of_the_function(function: str) -> None:
    group = "pt" if function == "SIF-1" else "ft"
    betas = NOW.function(function).entry_of(group).groups[0].betas
    assert betas is not None
    key = next(part.id for part in NOW.function(function).groups if part.id == group)
    curves = beta_curves.against_beta(NOW, function, key, beta_int=np.array([betas.beta_int, 1.0]))
    built = next(curve for curve in curves.curves if curve.as_built)
    assert built.result[0] == pytest.approx(NOW.function(function).cases.scored, rel=1e-9)


def test_the_json_has_the_entries_of_each_function_and_null_for_what_is_not_stated() -> None:
    results = outcome(
        _assessed(
            lambda raw: (
                raw["groups"]["ls"]["stated_result"].pop("pfh"),
                raw["functions"].pop("SIF-3"),
                raw["systems"]["S1"]["functions"].remove("SIF-3"),
            )
        )
    )
    assert results["groups"]["ls"]["pfh"] is None
    assert results["groups"]["ls"]["voting"] is None
    assert [entry["id"] for entry in results["functions"]["SIF-2"]["entries"]] == ["ft or pt", "cpu", "esv"]
    total = sum(entry["cases"]["scored"] for entry in results["functions"]["SIF-2"]["entries"])
    assert results["functions"]["SIF-2"]["pfd"]["scored"] == pytest.approx(total)
    assert results["functions"]["SIF-1"]["target_sil"] == 2


def test_a_target_sil_is_shown_with_its_bound() -> None:
    function = NOW.function("SIF-1")
    assert target(function.demand, function.target, function.target_sil) == "100 (SIL 2)"


def test_what_annex_b_does_not_use_is_said() -> None:
    said = "\n".join(remarks(PLANT))
    for words in ("staggered", "other channels are tested after a failure", "time in test", "up to 4/3 for two"):
        assert words in said
