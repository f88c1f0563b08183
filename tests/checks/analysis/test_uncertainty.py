"""Uncertainty of functions against closed forms, drawn samples of numpy, and the Sobol analysis of SALib."""

from __future__ import annotations

from math import exp, log, sqrt
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from SALib.analyze import sobol as sobol_indices
from SALib.sample import sobol as sobol_sample
from scipy import stats

from checks.analysis import uncertainty
from checks.analysis.sampled_function import SampledFunction
from checks.analysis.uncertainty import Uncertainty
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Plant
from tests.checks.given import bare_plant, plain_2

YEAR = 8760.0
Values = NDArray[np.float64]


def _plant(groups: dict[str, Any], entries: list[Any], devices: dict[str, Any], **more: Any) -> Assessment:
    """A plant with one function SIF of these groups: perfect yearly tests, no repair time."""
    raw = plain_2()
    raw["zones"], raw["conduits"], raw["systems"] = {}, {}, {}
    raw["answers"] = more.pop("answers", [])
    raw["devices"] = devices
    raw["groups"] = {
        key: {
            "part": "sensor",
            "programmable": False,
            "mttr_h": 0,
            "mrt_h": 0,
            "tests": [{"interval_h": YEAR, "coverage": 1.0}],
            **group,
        }
        for key, group in groups.items()
    }
    aim = more or {"demand": "low", "target_rrf": 100}
    raw["functions"] = {"SIF": {"groups": entries, **aim}}
    return Assessment(Plant.model_validate(raw))


def _device(fit: float, error_factor: float | None = None, **more: float) -> dict[str, Any]:
    return {"lambda_du_fit": fit, "source": "site", **({"error_factor": error_factor} if error_factor else {}), **more}


def _single(device: str) -> dict[str, Any]:
    return {"voting": "1oo1", "channels": [[device]]}


def _pair(device: str, **more: Any) -> dict[str, Any]:
    return {"voting": "1oo2", "channels": [[device]] * 2, "acts_on_detected": True, **more}


STATED = {"beta": 0.05, "beta_d": 0.05, "source": "site"}


def _of(assessment: Assessment, **more: int) -> Uncertainty:
    found = uncertainty.of_function(assessment, "SIF", **more)
    assert found is not None
    return found


def _sigma(error_factor: float) -> float:
    return log(error_factor) / float(stats.norm.ppf(0.95))


@given(error_factor=st.floats(1.1, 20.0), fit=st.floats(100.0, 5000.0), dd=st.sampled_from([0.0, 1000.0]))
@settings(max_examples=15, deadline=None)
def test_the_rrf_of_one_channel_of_one_device_is_lognormal(error_factor: float, fit: float, dd: float) -> None:
    """PFD = lambda_DU T/2 + lambda_DD MTTR is proportional to the one draw, so its quantiles are exact."""
    device = _device(fit, error_factor, lambda_dd_fit=dd)
    assessment = _plant({"a": {**_single("V"), "mttr_h": 24, "mrt_h": 24}}, ["a"], {"V": device})
    found, now = _of(assessment), 1.0 / assessment.function("SIF").cases.scored
    median = now * exp(_sigma(error_factor) ** 2 / 2.0)
    band = found.band.inverse
    assert (band.p5, band.p50, band.p95) == pytest.approx(
        (median / error_factor, median, median * error_factor), rel=2e-3
    )
    assert found.misses == pytest.approx(stats.norm.cdf(log(100.0 / median) / _sigma(error_factor)), abs=2.0 / 8192)
    assert [part.input.name for part in found.rests_on] == ["failure rates of V"]
    assert found.rest < 0.013


def test_alternatives_multiply_so_that_their_log_variances_add() -> None:
    """Product of two lognormal PFDs: sigma^2 = sigma_a^2 + sigma_b^2, shares in their proportion (closed form)."""
    devices = {"A": _device(2000, 3.0), "B": _device(1000, 6.0)}
    entry = {"any": ["a", "b"], "stated_beta": {"beta": 0.0, "source": "site"}}
    assessment = _plant({"a": _single("A"), "b": _single("B")}, [entry], devices)
    found, one, other = _of(assessment), _sigma(3.0), _sigma(6.0)
    both = sqrt(one**2 + other**2)
    median = assessment.function("SIF").cases.scored * exp(-(both**2) / 2.0)
    assert found.band.p50 == pytest.approx(median, rel=5e-3)
    assert found.band.p95 / found.band.p50 == pytest.approx(exp(1.6448536 * both), rel=5e-3)
    shares = {part.input.key: part.share for part in found.rests_on}
    assert shares == pytest.approx({"A": one**2 / both**2, "B": other**2 / both**2}, rel=0.015)


def test_one_draw_for_a_device_type_in_all_groups() -> None:
    """Two groups of one type have the spread of one; of two types with the same figures they have less (state of knowledge)."""
    same = _of(_plant({"a": _single("A"), "b": _single("A")}, ["a", "b"], {"A": _device(1000)}))
    devices = {"A": _device(1000), "B": _device(1000)}
    apart = _of(_plant({"a": _single("A"), "b": _single("B")}, ["a", "b"], devices))
    assert same.band.p95 / same.band.p5 == pytest.approx(9.0, rel=2e-3)
    assert apart.band.p95 / apart.band.p5 < 7.0
    assert apart.rests_on[0].share == pytest.approx(apart.rests_on[1].share, abs=0.01)


def _small() -> Assessment:
    """Two transmitters with an open questionnaire, and a valve."""
    answers = [{"question": "SEP1", "of": "group:pt", "value": "met", "by": "TM-1", "on": "2025-03-04"}]
    devices = {"PT": _device(3000, 3.0), "V": _device(300, 5.0)}
    groups = {"pt": _pair("PT", diagnostic_interval_h=1), "v": {**_single("V"), "part": "final"}}
    return _plant(groups, ["pt", "v"], devices, answers=answers)


def _small_pfd(points: Values) -> Values:
    """PFD of the small plant at points (n, 3) of PT, V and beta, written down apart from the program.

    1oo2, IEC 61508-6:2010 B.3.2.2.2 without repair: ((1-beta) lambda T)^2/3 + beta lambda T/2; 1oo1: lambda T/2.
    """
    pt, v = (
        fit * 1e-9 * stats.lognorm(s=_sigma(ef), scale=exp(-(_sigma(ef) ** 2) / 2.0)).ppf(points[:, at]) * YEAR
        for at, (fit, ef) in enumerate(((3000.0, 3.0), (300.0, 5.0)))
    )
    group = _small().group("pt")
    assert group.betas is not None
    assert group.beta_band is not None
    low, high = group.beta_band
    assert low < high
    mode = (group.betas.beta - low) / (high - low)
    beta = stats.triang(c=mode, loc=low, scale=high - low).ppf(points[:, 2])
    return np.asarray(((1.0 - beta) * pt) ** 2 / 3.0 + beta * pt / 2.0 + v / 2.0)


def test_plain_monte_carlo_gives_the_same_band() -> None:
    """The tolerance is four standard errors of a quantile of n draws, sqrt(p(1-p)/n)/density, density taken from the draws."""
    drawn = np.sort(np.log(_small_pfd(np.random.default_rng(11).random((2**16, 3)))))
    found, count = _of(_small()), drawn.size
    for share, value in ((0.05, found.band.p5), (0.5, found.band.p50), (0.95, found.band.p95)):
        error = sqrt(share * (1.0 - share) / count)
        low, high = np.quantile(drawn, (share - 4.0 * error, share + 4.0 * error))
        assert low <= log(value) <= high
    missing = float(np.mean(drawn > log(0.01)))
    assert found.misses == pytest.approx(missing, abs=4.0 * sqrt(missing * (1.0 - missing) / count) + 1.0 / 8192)


def test_salib_finds_the_same_shares() -> None:
    """Saltelli's sample and estimator, outside the project; its own 95 % interval, twice, and what 32 slices hide (1.3 %)."""
    problem = {"num_vars": 3, "names": ["PT", "V", "pt"], "bounds": [[1e-9, 1.0 - 1e-9]] * 3}
    points = sobol_sample.sample(problem, 2**12, calc_second_order=False, seed=3)
    logs = np.log(_small_pfd(points))
    found = sobol_indices.analyze(problem, logs, calc_second_order=False, seed=3)
    ours = {part.input.key: part.share for part in _of(_small()).rests_on}
    for name, share, interval in zip(problem["names"], found["S1"], found["S1_conf"], strict=True):
        assert ours[name] == pytest.approx(share, abs=2.0 * interval + 0.013 * share + 2e-3)
    # No share is explained twice: the shares of SALib add up to less than 1, and so do ours, within the same errors.
    assert sum(ours.values()) == pytest.approx(
        float(np.sum(found["S1"])), abs=2.0 * float(np.sum(found["S1_conf"])) + 0.02
    )


def test_with_hardly_any_spread_the_median_is_the_result_in_every_branch_of_annex_b() -> None:
    """Diverse channels, several tests, 1oo2D, alternatives, other votings, stated results: whatever format 2 has."""
    raw = plain_2()
    for device in raw["devices"].values():
        device["error_factor"] = 1.0001
    for group in raw["groups"].values():
        if "stated_result" not in group:
            group.setdefault("stated_beta", {**STATED, "of": "group"})
    raw["answers"] = []
    assessment = Assessment(Plant.model_validate(raw))
    assert {"1oo2D", "any"} <= {entry.arrangement for function in assessment.functions() for entry in function.entries}
    for function in assessment.functions():
        found = uncertainty.of_function(assessment, function.id, power=6)
        assert found is not None
        assert found.band.p50 == pytest.approx(function.cases.scored, rel=2e-4)


@given(factors=st.tuples(st.floats(1.05, 20.0), st.floats(1.05, 20.0)).map(sorted))
@settings(max_examples=20, deadline=None)
def test_a_wider_error_factor_gives_a_wider_band_around_its_median(factors: list[float]) -> None:
    def of(error_factor: float) -> Uncertainty:
        devices = {"A": _device(3000, error_factor), "B": _device(200, error_factor)}
        return _of(_plant({"a": _pair("A", stated_beta=STATED), "b": _single("B")}, ["a", "b"], devices), power=10)

    narrow, wide = map(of, factors)
    assert narrow.band.p5 < narrow.band.p50 < narrow.band.p95
    assert wide.band.p95 / wide.band.p5 >= narrow.band.p95 / narrow.band.p5 * (1.0 - 1e-9)


def test_error_factor_1_and_no_open_answer_give_no_band() -> None:
    groups = {"a": _pair("A", stated_beta=STATED), "b": _single("B")}
    assessment = _plant(groups, ["a", "b"], {"A": _device(3000, 1.0), "B": _device(200, 1.0)})
    assert uncertainty.of_function(assessment, "SIF") is None
    assert uncertainty.of_group(assessment, "a", "pfd") is None


@given(order=st.permutations(["A", "B", "C"]), seed=st.integers(0, 50))
@settings(max_examples=10, deadline=None)
def test_neither_the_order_of_the_file_nor_a_further_device_matters(order: list[str], seed: int) -> None:
    devices = {"A": _device(3000), "B": _device(200), "C": _device(500)}
    groups = {"a": _single("A"), "b": _single("B"), "c": _single("C")}
    first = _of(_plant(groups, ["a", "b", "c"], devices), power=8, seed=seed)
    shuffled = {key: devices[key] for key in order} | {"AA": _device(70)}
    again = _plant({key.lower(): groups[key.lower()] for key in order}, ["a", "b", "c"], shuffled)
    assert _of(again, power=8, seed=seed) == first


def test_the_same_seed_gives_the_same_figures_and_another_hardly_different_ones() -> None:
    one, again, other = (_of(_small(), seed=seed) for seed in (5, 5, 6))
    assert one == again
    assert one.band != other.band
    assert other.band.p95 == pytest.approx(one.band.p95, rel=0.01)


def test_what_is_assumed_and_what_is_held_fixed_is_said() -> None:
    groups = {"a": _pair("A", stated_beta=STATED), "b": _single("B")}
    found = _of(_plant(groups, ["a", "b"], {"A": _device(3000), "B": _device(200, 2.0)}))
    assert {part.input.key: part.input.assumed for part in found.rests_on} == {"A": True, "B": False}
    assert {part.input.spread for part in found.rests_on} == {"error factor 3, by convention", "error factor 2"}
    assert found.fixed == ("beta of a",)
    assert found.method.name == "annex-b edition 2"
    assert (found.samples, found.seed) == (8192, 1)


def test_a_pfh_has_a_band_too() -> None:
    """PFH of one channel whose detected failures trip is lambda_DU, lognormal."""
    group = {**_single("V"), "acts_on_detected": True}
    found = _of(_plant({"a": group}, ["a"], {"V": _device(1000, 3.0)}, demand="high", target_pfh=1e-6))
    median = 1e-6 * exp(-(_sigma(3.0) ** 2) / 2.0)
    assert (found.band.p5, found.band.p50, found.band.p95) == pytest.approx((median / 3, median, median * 3), rel=2e-3)


def test_a_plant_of_format_1_has_a_band_by_edition_1() -> None:
    assessment = Assessment(bare_plant())
    for function in assessment.functions():
        found = uncertainty.of_function(assessment, function.id, power=8)
        assert found is not None
        assert found.method.name == "annex-b edition 1"
        assert found.band.p5 < function.cases.scored < found.band.p95


@pytest.mark.parametrize("own", [{}, {"cpu": "annex-b"}], ids=["the plant", "but one group"])
@pytest.mark.parametrize("key", ["SIF-1", "SIF-2", "SIF-3"])
def test_a_sample_of_the_timeline_is_the_assessment_with_the_rates_of_that_point(own: dict[str, str], key: str) -> None:
    raw = plain_2()
    raw["conventions"]["redundancy_method"] = "timeline"
    raw["groups"]["esv"]["tests"] = [{"interval_h": 8760, "coverage": 0.9, "offsets_h": [0, 4380]}]
    for name, method in own.items():
        raw["groups"][name]["conventions"] = {"redundancy_method": method}
    plant = Plant.model_validate(raw)
    assessment = Assessment(plant)
    function = assessment.function(key)
    factors = {name: np.array([0.5, 1.0, 2.5]) * scale for name, scale in (("PT", 1.0), ("CPU", 1.1), ("ESV", 0.9))}
    betas = {
        (group.id, group.voting): (group.betas.beta, group.betas.beta_d) if group.betas else (0.0, 0.0)
        for group in function.groups
    }
    results = SampledFunction(assessment, function).results(factors, betas, 3)
    for at, result in enumerate(results.tolist()):
        scaled = {
            name: device.model_copy(
                update={
                    rate: getattr(device, rate) * factors[name][at]
                    for rate in ("lambda_du_fit", "lambda_dd_fit", "lambda_sd_fit")
                    if name in factors and getattr(device, rate)
                }
            )
            for name, device in plant.devices.items()
        }
        expected = Assessment(plant.model_copy(update={"devices": scaled})).function(key)
        assert result == pytest.approx(expected.cases.scored, rel=1e-9)


def test_the_band_of_a_plant_on_the_timeline_is_by_the_timeline_and_holds_its_result() -> None:
    raw = plain_2()
    raw["conventions"]["redundancy_method"] = "timeline"
    raw["groups"]["esv"]["tests"] = [{"interval_h": 8760, "coverage": 0.9, "offsets_h": [0, 4380]}]
    assessment = Assessment(Plant.model_validate(raw))
    found = uncertainty.of_function(assessment, "SIF-2")
    assert found is not None
    assert found.method.id == "timeline"
    assert found.band.p5 < assessment.function("SIF-2").cases.scored < found.band.p95
    assert 2**uncertainty.LEAST_POWER <= found.samples <= 2**13
    group = uncertainty.of_group(assessment, "esv", "pfd", power=10)
    assert group is not None
    assert group.method.id == "timeline"
    assert group.band.p5 < assessment.group("esv").pfd.scored < group.band.p95


@pytest.mark.parametrize(
    ("times", "power"), [(0, 13), (100, 13), (285, 11), (5_000, 10), (9_000, 10), (20_000, 8), (400_000, 4), (10**8, 1)]
)
def test_a_timeline_of_many_times_is_drawn_at_fewer_points(times: int, power: int) -> None:
    """A million values, but at least 1,024 points while that takes ten million."""
    assert uncertainty._fitting(13, times) == power  # noqa: SLF001
    assert uncertainty._fitting(5, times) == min(5, power)  # noqa: SLF001
