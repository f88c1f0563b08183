"""Four cases, shares and targets of functions, by the equations of model section 5 written out."""

from __future__ import annotations

from math import log, prod
from typing import Any

import pytest

from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Plant
from tests.checks.given import answer, assessed, bare_plant, every_topic, plain, valid_plant

CASES = ("single", "ideal", "scored", "adjusted")


def _changed(function: str | None = None, group: str | None = None, **changes: Any) -> Assessment:
    raw = plain()
    block, key = ("functions", function) if function else ("groups", group)
    raw[block][key].update(changes)
    return Assessment(Plant.model_validate(raw))


def _answered() -> Assessment:
    return assessed(
        answer("TST1", "group:esv-301"),
        answer("DIV3", "group:esv-301"),
        answer("CMP1", "plant"),
        answer("ASM3", "plant"),
        answer("ENV2", "group:esv-301"),
        answer("SEP4", "group:esv-301"),
        *every_topic("zone:sis", "met")[1:],
        answer("Z01", "zone:sis", "not-met"),
        answer("F01", "zone:sis", "partly"),
    )


def test_a_pair_of_valves_with_a_partial_test_by_hand() -> None:
    """esv-301: 1oo2 of solenoid and valve in series, 1 200 and 100 FIT, 4 380 h, 90 % found, rest after 43 800 h."""
    du, dd, t1, t2, mrt, mttr, ptc = 1.2e-6, 1e-7, 4380, 43800, 72, 24, 0.9
    d = du + dd
    result = _answered().group("esv-301")
    assert result.betas is not None

    def down(i: int) -> float:
        undetected = ptc * (t1 / (i + 1) + mrt) + (1 - ptc) * (t2 / (i + 1) + mrt)
        return du / d * undetected + dd / d * mttr

    def pair(beta: float, beta_d: float) -> float:
        lam = (1 - beta_d) * dd + (1 - beta) * du
        shared = beta_d * dd * mttr + beta * du * (ptc * (t1 / 2 + mrt) + (1 - ptc) * (t2 / 2 + mrt))
        return 2 * (lam * down(1)) * (lam * down(2)) + shared

    assert result.pfd.single == pytest.approx(d * down(1), rel=1e-12)
    assert result.pfd.ideal == pytest.approx(pair(0, 0), rel=1e-12)
    assert result.pfd.scored == pytest.approx(pair(result.betas.beta, result.betas.beta_d), rel=1e-12)
    adjusted = pair(result.betas.beta_adjusted, result.betas.beta_d_adjusted)
    assert result.pfd.adjusted == pytest.approx(adjusted, rel=1e-12)
    assert result.betas.beta < result.betas.beta_adjusted


def test_contactors_of_a_high_demand_function_by_hand() -> None:
    """con-210: 1oo3, 80 and 20 FIT, specified beta 5 % and 2.5 %, factor 0.5."""
    du, dd, beta, beta_d = 8e-8, 2e-8, 0.025, 0.0125
    lam = (1 - beta_d) * dd + (1 - beta) * du
    t = [0.8 * (8760 / (i + 1) + 8) + 0.2 * 8 for i in (1, 2)]
    result = assessed().group("con-210")
    split = result.high.scored
    assert split is not None
    assert split.independent == pytest.approx(6 * (1 - beta) * du * prod(lam * down_time for down_time in t), rel=1e-12)
    assert split.shared == pytest.approx(beta * du, rel=1e-12)
    assert result.pfh.scored == pytest.approx(split.total, rel=1e-12)
    assert result.pfh.single == pytest.approx(du, rel=1e-12)


def test_a_device_in_series_that_never_fails_dangerously_adds_nothing() -> None:
    raw = plain()
    raw["devices"]["SOV"].update(lambda_du_fit=0.0, lambda_dd_fit=0.0)
    with_it = Assessment(Plant.model_validate(raw)).group("esv-301").pfd
    raw["groups"]["esv-301"]["channels"] = [["ESV"], ["ESV"]]
    assert Assessment(Plant.model_validate(raw)).group("esv-301").pfd == with_it


def test_two_switches_that_must_both_act_share_nothing_and_fail_twice_as_often() -> None:
    result = assessed(*every_topic("zone:sis", "not-met")).group("pos-210")
    channel = 1.5e-7 * (0.8 * (8760 / 2 + 8) + 0.2 * 8)
    for split in (result.low.scored, result.low.adjusted, result.high.scored, result.high.adjusted):
        assert split is not None
        assert split.shared == 0.0
    for case in ("ideal", "scored", "adjusted"):
        assert getattr(result.pfd, case) == pytest.approx(2 * channel, rel=1e-12)
        assert getattr(result.pfh, case) == pytest.approx(2 * 1.2e-7, rel=1e-12)
    assert result.pfd.single == pytest.approx(channel, rel=1e-12)
    assert result.pfd.share_kept is None


def test_a_single_channel_is_the_same_in_all_four_cases() -> None:
    cases = assessed(answer("S01", "zone:field", "not-met")).group("tt-401").pfd
    assert {getattr(cases, case) for case in CASES} == {cases.single}
    assert (cases.benefit_ideal, cases.share_kept) == (1.0, None)


@pytest.mark.parametrize("key", ["pt-301", "ls-sis", "esv-301", "con-210"])
def test_common_cause_and_exposure_only_worsen_a_result_and_voting_stays_better_than_one_channel(key: str) -> None:
    for assessment in (assessed(), _answered(), Assessment(valid_plant())):
        for cases in (assessment.group(key).pfd, assessment.group(key).pfh):
            assert 0.0 < cases.ideal < cases.scored <= cases.adjusted < cases.single


@pytest.mark.parametrize("key", ["SIF-301", "SIF-401", "SIF-210"])
def test_a_function_is_the_sum_of_its_groups_case_by_case(key: str) -> None:
    assessment = _answered()
    function = assessment.function(key)
    for case in CASES:
        parts = [getattr(group.measured(function.measure).cases, case) for group in function.groups]
        assert getattr(function.cases, case) == pytest.approx(sum(parts), rel=1e-12)
    assert [group.id for group in function.groups] == assessment.plant.functions[key].groups


@pytest.mark.parametrize("key", ["SIF-301", "SIF-401", "SIF-210"])
def test_the_shares_of_the_groups_add_to_one(key: str) -> None:
    function = _answered().function(key)
    assert sum(function.share.values()) == pytest.approx(1.0, abs=1e-12)
    assert function.weakest.id == max(function.share, key=lambda group: function.share[group])


def test_what_redundancy_gains_and_how_much_is_kept() -> None:
    cases = _answered().function("SIF-301").cases
    assert cases.benefit_ideal == pytest.approx(cases.single / cases.ideal)
    assert cases.benefit_kept == pytest.approx(cases.single / cases.adjusted)
    assert cases.share_kept == pytest.approx(log(cases.benefit_kept) / log(cases.benefit_ideal))
    assert cases.share_kept is not None
    assert 0.0 < cases.share_kept < 1.0


def test_at_the_break_even_probability_of_a_compromise_the_target_is_only_just_met() -> None:
    function = _answered().function("SIF-301")
    pfd, p = function.cases.adjusted, function.break_even
    assert p is not None
    assert p == pytest.approx((1 / 500 - pfd) / (1 - pfd), rel=1e-12)
    assert pfd + p * (1 - pfd) == pytest.approx(1 / 500, rel=1e-9)


def test_there_is_no_break_even_where_the_target_is_missed_anyway_or_demand_is_high() -> None:
    missed = _changed(function="SIF-301", target_rrf=1e6).function("SIF-301")
    assert (missed.break_even, missed.meets("scored"), missed.meets("adjusted")) == (None, False, False)
    assert missed.margin < 1.0
    assert _answered().function("SIF-210").break_even is None


def test_a_high_demand_function_is_measured_by_its_frequency_against_a_frequency() -> None:
    function = _answered().function("SIF-210")
    pos, con = 2 * 1.2e-7, _answered().group("con-210").pfh.adjusted
    assert function.cases.adjusted == pytest.approx(pos + con, rel=1e-12)
    assert (function.limit, function.meets("adjusted")) == (1e-6, True)
    assert not _changed(function="SIF-210", target_pfh=2.4e-7).function("SIF-210").meets("adjusted")


def test_the_band_of_a_function_holds_the_result_as_answered() -> None:
    for function in (*_answered().functions(), *Assessment(valid_plant()).functions()):
        assert function.band is not None
        assert 0.0 < function.band.optimistic <= function.cases.scored <= function.band.pessimistic


def test_functions_come_worst_margin_first() -> None:
    margins = [function.margin for function in _answered().functions()]
    assert margins == sorted(margins)
    worst = _answered().worst_function(["ls-sis"])
    assert worst is not None
    assert worst.margin == min(function.margin for function in _answered().functions() if "ls-sis" in function.share)
    assert _answered().worst_function([]) is None


def test_a_group_that_serves_two_functions_is_one_result() -> None:
    assessment = assessed()
    shared = [assessment.function(key).groups[1] for key in ("SIF-301", "SIF-401")]
    assert shared[0] is shared[1]


def test_diverse_channels_count_with_the_geometric_mean_of_their_rates() -> None:
    diverse = _changed(group="pt-301", channels=[["PT"], ["TT"], ["TT"]]).group("pt-301")
    du = (450 * 300 * 300) ** (1 / 3) * 1e-9
    assert diverse.pfh.single == pytest.approx(du, rel=1e-12)


def test_exposure_of_one_zone_leaves_the_groups_of_another_alone() -> None:
    before, after = assessed(), assessed(*every_topic("zone:sis", "not-met"))
    assert before.group("pt-301") == after.group("pt-301")
    assert set(before.plant.groups) == set(bare_plant().groups)
