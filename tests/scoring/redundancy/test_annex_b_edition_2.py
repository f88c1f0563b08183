"""Invariants of ``annex-b`` edition 2, and where it differs from edition 1."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import permutations
from math import exp, prod

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.equipment import Channel, Rates, Upkeep, VotedGroup
from scoring.method import Measure
from scoring.redundancy.annex_b_edition_1 import AnnexB1
from scoring.redundancy.annex_b_edition_2 import AnnexB2
from scoring.voting import SINGLE, Voting
from tests.scoring import draws

YEAR = Upkeep.proof_test(interval=8760.0, coverage=1.0, full_interval=8760.0, mrt=8.0, mttr=24.0)
WITH_OVERHAUL = Upkeep.proof_test(interval=8760.0, coverage=0.9, full_interval=87600.0, mrt=8.0, mttr=24.0)
MEASURES: tuple[Measure, ...] = ("pfd", "pfh")
ROUNDING = 1e-12
"""Sums and products of a few terms are rounded a few times; the two sides do not differ otherwise."""


def _group(voting: Voting, channels: Iterable[Rates], upkeep: Upkeep, *, acts: bool) -> VotedGroup:
    """A group whose channels have the same tests and repair."""
    return VotedGroup(voting, tuple(Channel(rates, upkeep) for rates in channels), acts_on_detected=acts)


@given(voting=draws.votings, rates=draws.rates, upkeep=draws.upkeeps(), beta=draws.fractions, beta_d=draws.fractions)
def test_like_channels_that_trip_on_detected_failures_are_as_in_edition_1(
    voting: Voting, rates: Rates, upkeep: Upkeep, beta: float, beta_d: float
) -> None:
    group = _group(voting, (rates,) * voting.n, upkeep, acts=True)
    for measure in MEASURES:
        first = AnnexB1().result(measure, group, beta=beta, beta_d=beta_d)
        second = AnnexB2().result(measure, group, beta=beta, beta_d=beta_d)
        assert second.independent == pytest.approx(first.independent, rel=ROUNDING, abs=1e-300)
        assert second.shared == pytest.approx(first.shared, rel=ROUNDING, abs=1e-300)


@given(
    channels=st.lists(draws.rates, min_size=2, max_size=4),
    upkeep=draws.upkeeps(),
    m=st.integers(1, 3),
    beta=draws.fractions,
)
def test_diverse_channels_are_summed_over_every_order_of_their_failures(
    channels: list[Rates], upkeep: Upkeep, m: int, beta: float
) -> None:
    """Source: the sum written out, one permutation after the other. Confidence: derived."""
    voting = Voting(min(m, len(channels) - 1), len(channels))
    group = _group(voting, channels, upkeep, acts=True)
    failures = voting.tolerance + 1
    expected = sum(
        prod(
            ((1 - beta) * rates.dd + (1 - beta) * rates.du) * Channel(rates, upkeep).down_time(i)
            for i, rates in enumerate(order, start=1)
        )
        for order in permutations(channels, failures)
    )
    split = AnnexB2().result("pfd", group, beta=beta, beta_d=beta)
    assert split.independent == pytest.approx(expected, rel=1e-11, abs=1e-300)


def test_two_diverse_channels_come_close_to_the_exact_mean() -> None:
    """1oo2 without repair: the mean of (1 - exp(-a t)) (1 - exp(-b t)) over one interval. Source: elementary. Confidence: derived."""
    a, b, interval = 2.0e-7, 3.0e-6, 8760.0
    bare = Upkeep.proof_test(interval=interval, coverage=1.0, full_interval=interval, mrt=0.0, mttr=0.0)
    group = _group(Voting(1, 2), (Rates(a, 0.0), Rates(b, 0.0)), bare, acts=False)

    def mean(rate: float) -> float:
        return (1.0 - exp(-rate * interval)) / (rate * interval)

    exact = 1.0 - mean(a) - mean(b) + mean(a + b)
    independent = AnnexB2().result("pfd", group, beta=0.0, beta_d=0.0).independent
    assert independent == pytest.approx(
        exact, rel=0.02
    )  # the equation is the first term of the series in (a + b) T = 0.028


def test_the_geometric_mean_of_edition_1_is_the_same_for_two_channels_without_detected_failures() -> None:
    """A b T^2 / 3 in both: only with detected failures or more than two channels do they part. Confidence: derived."""
    bare = Upkeep.proof_test(interval=8760.0, coverage=1.0, full_interval=8760.0, mrt=0.0, mttr=0.0)
    group = _group(Voting(1, 2), (Rates(2e-7, 0.0), Rates(3e-6, 0.0)), bare, acts=False)
    first, second = (method.result("pfd", group, beta=0.0, beta_d=0.0) for method in (AnnexB1(), AnnexB2()))
    assert first.independent == pytest.approx(second.independent, rel=ROUNDING)


def test_a_single_channel_with_an_alarm_only_fails_with_every_dangerous_failure() -> None:
    rates = Rates(1e-7, 4e-7)
    alarm_only = _group(SINGLE, (rates,), YEAR, acts=False)
    trips = _group(SINGLE, (rates,), YEAR, acts=True)
    assert AnnexB2().result("pfh", alarm_only, beta=0.0, beta_d=0.0).total == pytest.approx(5e-7)
    assert AnnexB2().result("pfh", trips, beta=0.0, beta_d=0.0).total == pytest.approx(1e-7)
    assert AnnexB1().result("pfh", alarm_only, beta=0.0, beta_d=0.0).total == pytest.approx(1e-7), "five times too good"


@given(voting=draws.redundant, rates=draws.rates, upkeep=draws.upkeeps(), beta=draws.fractions, beta_d=draws.fractions)
def test_detected_failures_that_nobody_acts_on_never_lower_the_frequency(
    voting: Voting, rates: Rates, upkeep: Upkeep, beta: float, beta_d: float
) -> None:
    channels = (rates,) * voting.n
    ignored, acted_on = (
        AnnexB2().result("pfh", _group(voting, channels, upkeep, acts=acts), beta=beta, beta_d=beta_d)
        for acts in (False, True)
    )
    assert ignored.total >= acted_on.total * (1.0 - ROUNDING)
    assert ignored.shared == pytest.approx(beta * rates.du + beta_d * rates.dd, rel=ROUNDING, abs=1e-300)


@pytest.mark.parametrize(
    ("rates", "upkeep", "side"),
    [
        (Rates(1e-7, 1e-4), YEAR, "inside"),  # detected failures do not count: lambda_DU x T is 8.8e-4
        (Rates(1.2e-5, 0.0), YEAR, "outside"),  # 0.105
        (Rates(1.1e-5, 0.0), YEAR, "inside"),  # 0.096
        (Rates(2e-6, 0.0), WITH_OVERHAUL, "outside"),  # the overhaul counts: 0.175
        (Rates(1e-7, 1e-4), replace(YEAR, mttr=1100.0), "outside"),  # lambda_DD x MTTR is 0.11
        (Rates(1e-7, 1e-4), replace(YEAR, mttr=900.0), "inside"),  # 0.09
    ],
)
def test_the_range_is_judged_by_undetected_failures_between_tests_and_detected_ones_in_repair(
    rates: Rates, upkeep: Upkeep, side: str
) -> None:
    remarks = AnnexB2().remarks(_group(Voting(1, 2), (rates, rates), upkeep, acts=True))
    assert bool(remarks) == (side == "outside")


@pytest.mark.parametrize("method", [AnnexB1(), AnnexB2()])
@pytest.mark.parametrize("measure", MEASURES)
def test_the_worked_equations_end_in_the_parts_of_the_result(method: AnnexB1 | AnnexB2, measure: Measure) -> None:
    group = _group(Voting(2, 3), (Rates(4.5e-7, 8.5e-7),) * 3, YEAR, acts=True)
    split = method.result(measure, group, beta=0.075, beta_d=0.0375)
    worked = " ".join(method.worked(measure, group, beta=0.075, beta_d=0.0375))
    assert f") = {float(split.independent):.4g} " in worked
    assert worked.startswith("t_1 = (")
    assert "independent = 6 x " in worked
    assert f"= {float(split.shared):.4g}" in worked
