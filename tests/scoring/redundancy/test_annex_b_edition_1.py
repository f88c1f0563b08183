"""Invariants of PFDavg and PFH."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import product
from typing import TypeAlias

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.equipment import Channel, Rates, Split, Upkeep, VotedGroup, in_series, mean_rates
from scoring.limits import OutOfRange
from scoring.redundancy.annex_b_edition_1 import AnnexB1, outside_range, pfd, pfh, single
from scoring.voting import SINGLE, Voting, read
from tests.rule import Rule
from tests.scoring import draws

Measure: TypeAlias = Callable[..., Split]

YEAR = Upkeep.proof_test(interval=8760.0, coverage=1.0, full_interval=8760.0, mrt=8.0, mttr=8.0)
PUMP = Rates(1.0e-6, 2.0e-6)
OUTSIDE = [float("nan"), -1e-9, 1.0 + 1e-9, float("inf"), np.array([0.1, float("nan")]), np.array([0.1, 1.5])]

# Sums and products of a few terms are rounded a few times; the two sides do not differ otherwise.
ROUNDING = 1e-12


@given(voting=draws.redundant, rates=draws.rates, upkeep=draws.upkeeps())
def test_all_shared_equals_a_single_channel(voting: Voting, rates: Rates, upkeep: Upkeep) -> None:
    # With beta = beta_D = 1: lambda_DD MTTR + lambda_DU t_shared, which is lambda_D t_1 of one channel.
    for measure in (pfd, pfh):
        group = measure(voting=voting, rates=rates, upkeep=upkeep, beta=1.0, beta_d=1.0)
        channel = measure(voting=SINGLE, rates=rates, upkeep=upkeep)
        assert group.independent == 0.0
        assert group.total == pytest.approx(channel.total, rel=ROUNDING)


@given(voting=draws.votings, rates=draws.rates, upkeep=draws.upkeeps())
def test_nothing_shared_leaves_no_shared_part(voting: Voting, rates: Rates, upkeep: Upkeep) -> None:
    assert pfd(voting=voting, rates=rates, upkeep=upkeep).shared == 0.0
    assert pfh(voting=voting, rates=rates, upkeep=upkeep).shared == 0.0


@given(n=st.integers(1, 8), rates=draws.rates, upkeep=draws.upkeeps(), beta=draws.fractions, beta_d=draws.fractions)
def test_a_group_without_redundancy_is_n_single_channels_at_any_beta(
    n: int, rates: Rates, upkeep: Upkeep, beta: float, beta_d: float
) -> None:
    for name, measure in (("pfd", pfd), ("pfh", pfh)):
        group = measure(voting=Voting(n, n), rates=rates, upkeep=upkeep, beta=beta, beta_d=beta_d)
        assert group.total == pytest.approx(n * single(name, rates=rates, upkeep=upkeep), rel=ROUNDING)
        assert group.shared == 0.0


@given(
    voting=draws.votings,
    rates=draws.rates,
    upkeep=draws.upkeeps(),
    betas=st.lists(draws.fractions, min_size=1, max_size=6),
    beta_d=draws.fractions,
)
def test_an_array_of_betas_equals_the_scalars_one_by_one(
    voting: Voting, rates: Rates, upkeep: Upkeep, betas: list[float], beta_d: float
) -> None:
    for measure in (pfd, pfh):
        together = measure(voting=voting, rates=rates, upkeep=upkeep, beta=np.array(betas), beta_d=beta_d)
        apart = [measure(voting=voting, rates=rates, upkeep=upkeep, beta=beta, beta_d=beta_d) for beta in betas]
        assert np.array_equal(together.independent, np.array([split.independent for split in apart]))
        assert np.array_equal(together.shared, np.array([split.shared for split in apart]))


@given(case=draws.rare(), lower=st.floats(0.0, 0.99), step=st.floats(0.001, 1.0))
def test_pfd_of_a_pair_grows_with_beta_where_failures_are_rare(
    case: tuple[Rates, Upkeep], lower: float, step: float
) -> None:
    # d/d beta = lambda_DU (t_shared - 4 lam t_1 t_2), and 4 lam t_2 is far below 1 here.
    rates, upkeep = case
    low, high = (
        pfd(voting=read("1oo2"), rates=rates, upkeep=upkeep, beta=beta, beta_d=lower).total
        for beta in (lower, min(1.0, lower + step))
    )
    assert low < high


@given(voting=draws.redundant, case=draws.rare(), beta=draws.fractions, beta_d=draws.fractions)
def test_one_channel_less_to_act_never_raises_the_pfd_where_failures_are_rare(
    voting: Voting, case: tuple[Rates, Upkeep], beta: float, beta_d: float
) -> None:
    rates, upkeep = case
    easier = pfd(voting=voting, rates=rates, upkeep=upkeep, beta=beta, beta_d=beta_d).total
    harder_vote = Voting(voting.m + 1, voting.n)
    harder = pfd(voting=harder_vote, rates=rates, upkeep=upkeep, beta=beta, beta_d=beta_d).total
    assert easier <= harder * (1.0 + ROUNDING)


@given(
    voting=draws.votings, rates=draws.rates, upkeep=draws.upkeeps(), beta=draws.fractions, longer=st.floats(1.0, 10.0)
)
def test_testing_less_often_never_lowers_the_pfd(
    voting: Voting, rates: Rates, upkeep: Upkeep, beta: float, longer: float
) -> None:
    later = replace(upkeep, found=tuple(replace(found, interval=found.interval * longer) for found in upkeep.found))
    often = pfd(voting=voting, rates=rates, upkeep=upkeep, beta=beta, beta_d=beta).total
    seldom = pfd(voting=voting, rates=rates, upkeep=later, beta=beta, beta_d=beta).total
    assert often <= seldom * (1.0 + ROUNDING)


@given(voting=draws.votings, rates=draws.rates, upkeep=draws.upkeeps(), beta=draws.fractions)
def test_a_proof_test_that_finds_more_never_raises_the_pfd(
    voting: Voting, rates: Rates, upkeep: Upkeep, beta: float
) -> None:
    whole = replace(upkeep, found=(replace(upkeep.found[0], share=1.0),))
    perfect = pfd(voting=voting, rates=rates, upkeep=whole, beta=beta, beta_d=beta).total
    as_drawn = pfd(voting=voting, rates=rates, upkeep=upkeep, beta=beta, beta_d=beta).total
    assert perfect <= as_drawn * (1.0 + ROUNDING)


@given(voting=draws.votings, rates=draws.rates, upkeep=draws.upkeeps(), full=st.floats(1.0, 1e6))
def test_a_perfect_proof_test_makes_the_full_interval_irrelevant(
    voting: Voting, rates: Rates, upkeep: Upkeep, full: float
) -> None:
    interval, repair = upkeep.found[0].interval, {"mrt": upkeep.mrt, "mttr": upkeep.mttr}
    perfect, other = (
        Upkeep.proof_test(interval=interval, coverage=1.0, full_interval=overhaul, **repair)
        for overhaul in (upkeep.found[1].interval, full)
    )
    assert pfd(voting=voting, rates=rates, upkeep=perfect) == pfd(voting=voting, rates=rates, upkeep=other)


def test_a_beta_that_is_no_fraction_is_refused_by_name() -> None:
    with Rule() as rule:
        for arch, measure, value in product(("1oo1", "1oo2", "3oo3"), (pfd, pfh), OUTSIDE):
            for argument, name in (("beta", "beta"), ("beta_d", "beta_D")):
                with rule.case(f"{measure.__name__} of {arch}, {argument} = {value}"):
                    with pytest.raises(OutOfRange, match=f"^{name} is ") as refusal:
                        measure(voting=read(arch), rates=PUMP, upkeep=YEAR, **{argument: value})
                    assert refusal.value.name == name


@given(channel=draws.rates, n=st.integers(1, 8))
def test_alike_channels_are_represented_by_one_of_them(channel: Rates, n: int) -> None:
    assert mean_rates([channel] * n) == channel


@given(channels=st.lists(st.builds(Rates, du=st.floats(1e-9, 1e-5), dd=st.floats(1e-9, 1e-5)), min_size=1, max_size=8))
def test_a_representative_lies_between_the_best_and_the_worst_channel(channels: list[Rates]) -> None:
    mean = mean_rates(channels)
    for rate in ("du", "dd"):
        values = [getattr(channel, rate) for channel in channels]
        assert min(values) * (1.0 - ROUNDING) <= getattr(mean, rate) <= max(values) * (1.0 + ROUNDING)


@given(
    devices=st.lists(draws.rates, min_size=1, max_size=6).flatmap(
        lambda drawn: st.tuples(st.just(drawn), st.permutations(drawn))
    )
)
def test_the_order_of_devices_in_series_does_not_matter(devices: tuple[list[Rates], list[Rates]]) -> None:
    drawn, permuted = devices
    assert in_series(drawn) == in_series(permuted)
    assert in_series(drawn).d == pytest.approx(sum(device.d for device in drawn), rel=ROUNDING)


def test_the_range_of_the_equations_ends_where_one_failure_in_ten_intervals_is_passed() -> None:
    assert not outside_range(Rates(1.0e-5, 0.0), replace(YEAR, found=(replace(YEAR.found[0], interval=10000.0),)))
    assert outside_range(Rates(0.9e-5, 0.2e-5), replace(YEAR, found=(replace(YEAR.found[0], interval=10000.0),)))


@pytest.mark.parametrize(
    ("interval", "overhaul", "mttr", "named"),
    [
        (8760.0, 8760.0, 8.0, []),
        (80000.0, 80000.0, 8.0, ["test interval"]),
        (8760.0, 80000.0, 8.0, ["overhaul interval"]),
        (8760.0, 8760.0, 60000.0, ["MTTR"]),
        (80000.0, 80000.0, 60000.0, ["test interval", "MTTR"]),
    ],
)
def test_the_remark_on_the_range_names_test_overhaul_or_repair(
    interval: float, overhaul: float, mttr: float, named: list[str]
) -> None:
    upkeep = Upkeep.proof_test(interval=interval, coverage=0.9, full_interval=overhaul, mrt=8.0, mttr=mttr)
    remarks = AnnexB1().remarks(VotedGroup(Voting(1, 2), (Channel(PUMP, upkeep),) * 2, acts_on_detected=True))
    assert [
        next(name for name in ("test interval", "overhaul interval", "MTTR") if name in remark) for remark in remarks
    ] == named


def test_every_result_keeps_its_parts() -> None:
    split = Split(independent=2.0e-5, shared=3.0e-4)
    assert split.total == 2.0e-5 + 3.0e-4
