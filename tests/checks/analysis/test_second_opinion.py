"""The timeline beside Annex B: where they must agree, where they must not, and the sentence on it."""

from __future__ import annotations

from math import expm1
from typing import Any

import numpy as np
import pytest

from checks.analysis import second_opinion
from checks.analysis.second_opinion import SecondOpinion
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Plant
from tests.checks.given import plain_2

MISSION = 87600.0


def _plant(groups: dict[str, Any], entries: list[Any], **function: Any) -> Assessment:
    """A plant with one function SIF of these groups, ten years of mission, no repair time."""
    raw = plain_2()
    raw["answers"], raw["zones"], raw["conduits"] = [], {}, {}
    raw["conventions"]["mission_h"] = MISSION
    raw["groups"] = {
        key: {"part": "sensor", "programmable": False, "mttr_h": 0, "mrt_h": 0, **group}
        for key, group in groups.items()
    }
    raw["systems"] = {}
    raw["functions"] = {"SIF": {"demand": "low", "target_sil": 1, **function, "groups": entries}}
    return Assessment(Plant.model_validate(raw))


def _group(devices: int, voting: str, **more: Any) -> dict[str, Any]:
    given: dict[str, Any] = {"voting": voting, "channels": [["ESV"]] * devices, **more}
    if "tests" not in given:
        given["tests"] = [{"interval_h": 8760, "coverage": 1.0}]
    if devices > 1:
        given.setdefault("stated_beta", {"beta": 0.05, "beta_d": 0.05, "of": "group", "source": "site"})
    return given


def _opinion(assessment: Assessment) -> SecondOpinion:
    opinion = second_opinion.second_opinion(assessment, "SIF")
    assert opinion is not None
    return opinion


def _ratio(assessment: Assessment) -> float:
    ratio = _opinion(assessment).function.ratio
    assert ratio is not None
    return ratio


def test_like_channels_tested_on_one_day_agree_and_that_is_said() -> None:
    opinion = _opinion(_plant({"esv": _group(2, "1oo2")}, ["esv"]))
    assert opinion.function.ratio == pytest.approx(1.0, abs=0.01)
    assert opinion.why == "Both methods agree within 2 %."
    assert opinion.curve.together is None
    assert opinion.curve.tests["esv"].tolist() == [8760.0 * year for year in range(1, 10)]


def test_alternatives_tested_on_one_day_are_worse_by_four_thirds() -> None:
    """The mean of (lambda t)^2 over an interval is 4/3 of the square of its mean (derived). To the first order in lambda T."""
    alternatives = [{"any": ["a", "b"], "stated_beta": {"beta": 0.0, "source": "site"}}]
    assessment = _plant({"a": _group(1, "1oo1"), "b": _group(1, "1oo1")}, alternatives)
    assert _ratio(assessment) == pytest.approx(4.0 / 3.0, rel=0.01)
    assert _opinion(assessment).why == (
        "How failures of several channels coincide over time raise the result by a factor 1.3; Annex B multiplies averages."
    )


def test_alternatives_tested_at_different_times_say_so() -> None:
    alternatives = [{"any": ["a", "b"], "stated_beta": {"beta": 0.0, "source": "site"}}]
    later = [{"interval_h": 8760, "coverage": 1.0, "offsets_h": [4380]}]
    why = _opinion(_plant({"a": _group(1, "1oo1"), "b": _group(1, "1oo1", tests=later)}, alternatives)).why
    assert why.startswith(
        "The times of the tests of b lower the result by a factor 1.6; Annex B ignores them. How failures"
    )


def test_a_rest_that_no_test_finds_is_no_mission_that_ends_within_an_interval() -> None:
    groups = {
        "a": _group(1, "1oo1", tests=[{"interval_h": 8760, "coverage": 0.5}]),
        "b": _group(1, "1oo1", channels=[["SOV"]], tests=[{"interval_h": 58400, "coverage": 1.0}]),
    }
    assert "ends within" not in _opinion(_plant(groups, ["a", "b"])).why


def test_two_tests_of_one_interval_keep_their_own_times() -> None:
    """In whatever order they stand: the first half is looked for at staggered times, the rest in both channels at once."""
    half = {"interval_h": 8760, "coverage": 0.5, "offsets_h": [0, 4380]}
    rest = {"interval_h": 8760, "coverage": 1.0}
    one, other = (
        _ratio(_plant({"esv": _group(2, "1oo2", tests=tests)}, ["esv"])) for tests in ([half, rest], [rest, half])
    )
    assert one == other == pytest.approx(0.76, abs=0.02)


def test_no_result_is_above_one() -> None:
    raw = [{"any": ["a", "b"], "stated_beta": {"beta": 1.0, "source": "site"}}]
    groups = {
        key: _group(1, "1oo1", channels=[["ESV"] * 8], tests=[{"interval_h": 87600, "coverage": 1.0}]) for key in "ab"
    }
    timeline = _opinion(_plant(groups, raw)).function.timeline
    assert timeline is not None
    assert timeline[0] < 1.0


def test_what_alternatives_share_is_added_to_their_product() -> None:
    groups = {"a": _group(1, "1oo1"), "b": _group(1, "1oo1")}
    with_none, with_some = (
        _opinion(_plant(groups, [{"any": ["a", "b"], "stated_beta": {"beta": beta, "source": "site"}}])).function
        for beta in (0.0, 0.1)
    )
    alone = _opinion(_plant(groups, ["a"])).function
    assert with_none.timeline is not None
    assert with_some.timeline is not None
    assert alone.timeline is not None
    more = 0.1 * alone.timeline[0]
    either = with_none.timeline[0] + more - with_none.timeline[0] * more
    assert with_some.timeline[0] == pytest.approx(either, rel=1e-12)


def test_staggered_tests_are_the_cause_that_is_named() -> None:
    """A shared failure of 1oo2 is found at the next of two tests, so its part is halved; Annex B does not see it."""
    tests = [{"interval_h": 8760, "coverage": 1.0, "offsets_h": [0, 4380]}]
    opinion = _opinion(_plant({"esv": _group(2, "1oo2", tests=tests)}, ["esv"]))
    assert opinion.function.ratio == pytest.approx(0.52, abs=0.02)
    assert opinion.why == "The times of the tests of esv lower the result by a factor 2.0; Annex B ignores them."
    assert opinion.curve.together is not None
    assert opinion.curve.together.mean() > 1.5 * opinion.curve.scored.mean()


def test_a_mission_that_ends_within_an_interval_is_the_cause_that_is_named() -> None:
    tests = [{"interval_h": 58400, "coverage": 1.0}]
    why = _opinion(_plant({"esv": _group(1, "1oo1", tests=tests)}, ["esv"])).why
    assert why.startswith(
        "A mission of 10 years ends within intervals of tests, which lowers the result by a factor 1.2"
    )


def test_a_high_product_of_rate_and_interval_is_the_cause_that_is_named() -> None:
    tests = [{"interval_h": MISSION, "coverage": 1.0}]
    assessment = _plant({"esv": _group(1, "1oo1", channels=[["ESV", "ESV", "ESV"]], tests=tests)}, ["esv"])
    assert _opinion(assessment).why == (
        "Rates times intervals are high, which lowers the result by a factor 1.1; Annex B is for low ones."
    )


def test_daily_tests_are_calculated_over_the_whole_mission_and_drawn_for_a_part_of_it() -> None:
    tests = [{"interval_h": 24, "coverage": 0.5}, {"interval_h": 8760, "coverage": 1.0}]
    opinion = _opinion(_plant({"esv": _group(2, "1oo2", tests=tests)}, ["esv"]))
    assert opinion.function.ratio == pytest.approx(1.0, abs=0.02)
    assert not opinion.curve.whole
    assert opinion.curve.hours[-1] == 24.0 * second_opinion.MOST_DRAWN
    assert opinion.curve.tests["esv"][-1] < opinion.curve.hours[-1]


def test_time_in_test_and_test_errors_begin_with_the_first_test() -> None:
    """Ten years with yearly tests: nine intervals begin with a test, and Annex B counts ten."""
    tests = [{"interval_h": 8760, "coverage": 1.0, "duration_h": 4, "bypass": "group", "error": 0.1}]
    opinion = _opinion(_plant({"esv": _group(2, "1oo2", tests=tests)}, ["esv"]))
    assert opinion.function.ratio == pytest.approx(0.9, abs=0.01)
    assert opinion.why == (
        "Test errors and time in test of esv begin with the first test, which lowers the result by a factor 1.1; "
        "Annex B counts them from the start."
    )
    assert opinion.in_test


def test_the_peak_is_just_before_a_test_and_not_while_the_group_is_in_test() -> None:
    """1oo1 without repair: 1 - exp(-lambda T), lambda = 900 FIT, T one year (derived); first reached before the first test."""
    test = {"interval_h": 8760, "coverage": 1.0, "duration_h": 4, "bypass": "group"}
    peak = _opinion(_plant({"esv": _group(1, "1oo1", tests=[test])}, ["esv"])).peak
    assert peak.scored == peak.adjusted == pytest.approx(-expm1(-9e-7 * 8760.0), rel=1e-6)
    assert peak.scored_at % 8760.0 == pytest.approx(8760.0, abs=0.01)


def test_a_curve_is_down_for_the_time_in_test_and_no_longer() -> None:
    test = {"interval_h": 8760, "coverage": 1.0, "duration_h": 4, "bypass": "group"}
    curve = _opinion(_plant({"esv": _group(1, "1oo1", tests=[test])}, ["esv"])).curve
    down = curve.hours[curve.scored == 1.0]
    assert set(np.floor((down - 8760.0) % 8760.0)) == {0.0, 3.0}
    assert 8764.0 in curve.hours


def test_in_high_demand_both_give_the_rate_of_failing() -> None:
    assessment = _plant({"esv": _group(2, "1oo2")}, ["esv"], demand="high", target_sil=1)
    function = _opinion(assessment).function
    assert function.annex_b[0] == assessment.function("SIF").cases.scored
    assert function.ratio == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize("key", ["SIF-1", "SIF-2", "SIF-3"])
def test_a_stated_result_is_taken_from_the_first_method(key: str) -> None:
    assessment = Assessment(Plant.model_validate(plain_2()))
    opinion = second_opinion.second_opinion(assessment, key)
    assert opinion is not None
    without = {entry.id for entry in opinion.entries if entry.timeline is None}
    assert set(opinion.taken) == without == ({"ls"} if key in ("SIF-1", "SIF-3") else set())
    assert second_opinion.of_group(assessment, "ls") is None


def test_1oo2d_is_on_the_clock_and_near_annex_b() -> None:
    """Annex B multiplies the mean times that failures last, so that the switch counts for t_CE instead of MTTR (from memory)."""
    assessment = Assessment(Plant.model_validate(plain_2()))
    of_cpu = second_opinion.of_group(assessment, "cpu")
    assert of_cpu is not None
    assert of_cpu / assessment.group("cpu").pfd.scored == pytest.approx(1.0, abs=0.5)


def test_a_function_of_stated_results_alone_has_no_second_opinion() -> None:
    raw = plain_2()
    raw["functions"] = {"SIF": {"demand": "low", "target_sil": 1, "groups": ["ls"]}}
    raw["systems"], raw["answers"] = {}, []
    assert second_opinion.second_opinion(Assessment(Plant.model_validate(raw)), "SIF") is None


def test_the_cyber_scenario_is_never_better_than_common_cause_by_the_timeline() -> None:
    assessment = Assessment(Plant.model_validate(plain_2()))
    for key in assessment.plant.functions:
        opinion = second_opinion.second_opinion(assessment, key)
        assert opinion is not None
        for entry in (*opinion.entries, opinion.function):
            assert entry.timeline is None or entry.timeline[1] >= entry.timeline[0]
