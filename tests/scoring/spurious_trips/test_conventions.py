"""Spurious trip rates against a Markov chain, and what holds for every group."""

from __future__ import annotations

from itertools import pairwise
from math import comb, inf, nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import expm

from scoring.limits import OutOfRange
from scoring.source import table
from scoring.spurious_trips.conventions import CONVENTIONS, ISA_TR84, SPLIT
from scoring.spurious_trips.trip_rate import TripGroup, TripRate, coinciding
from scoring.voting import Voting, VotingRefused, read

RATES = st.floats(1e-9, 1e-4)
MTTRS = st.floats(0.0, 1000.0)  # lambda x MTTR up to 0.1, the range of the equations
BETAS = st.floats(0.0, 1.0)
VOTINGS = st.integers(1, 8).flatmap(lambda n: st.integers(1, n).map(lambda m: Voting(m, n)))
PRINTED = st.sampled_from(["1oo1", "1oo2", "1oo3", "2oo2", "2oo3", "2oo4"]).map(read)


def like(voting: Voting, rate: float, mttr: float, beta: float | None) -> TripGroup:
    return TripGroup(voting, (rate,) * voting.n, mttr, beta)


def chain(group: TripGroup) -> float:
    """Long-run trips per hour of like channels by a Markov chain: states are 0 to M - 1 tripped channels.

    A channel trips by itself at (1 - beta) lambda and is restored at 1/MTTR; all trip together at beta lambda. The trip
    restores everything. The distribution is followed by ``expm`` over many restorations, the mean rate of trips taken there.
    """
    m, n, beta = group.voting.m, group.voting.n, group.beta or 0.0
    alone, together, restored = (1 - beta) * group.rates[0], beta * group.rates[0], 1.0 / group.mttr
    generator = np.zeros((m, m))
    trips = np.full(m, together)
    for tripped in range(m):
        if tripped:
            generator[tripped, tripped - 1] += tripped * restored
            generator[tripped, 0] += together
        rate = (n - tripped) * alone
        if tripped + 1 < m:
            generator[tripped, tripped + 1] += rate
        else:
            generator[tripped, 0] += rate
            trips[tripped] += rate
    generator -= np.diag(generator.sum(axis=1))
    return float(expm(generator * 1000.0 * group.mttr)[0] @ trips)


@pytest.mark.parametrize("arch", ["1oo2", "2oo2", "2oo3", "2oo4", "3oo4"])
@pytest.mark.parametrize("beta", [0.0, 0.05, 0.3])
def test_a_markov_chain_gives_the_same_rate(arch: str, beta: float) -> None:
    """Derived. Tolerance: the equation leaves out terms of the order N lambda MTTR, here twice that."""
    group = like(read(arch), 1e-5, 10.0, beta)
    assert SPLIT.rate(group).total == pytest.approx(chain(group), rel=2 * group.voting.n * 1e-5 * 10.0)


def test_unlike_channels_trip_by_each_set_of_m() -> None:
    """Derived: of channels a, b and c two trip at once at 2 (ab + ac + bc) MTTR."""
    a, b, c = 1e-6, 3e-6, 7e-6
    assert coinciding((a, b, c), failures=2, mttr=8.0) == pytest.approx(2 * (a * b + a * c + b * c) * 8.0, rel=1e-12)
    assert coinciding((a, b, c), failures=1, mttr=8.0) == pytest.approx(a + b + c, rel=1e-12)


@given(RATES, MTTRS, BETAS)
def test_a_single_channel_trips_at_its_own_rate(rate: float, mttr: float, beta: float) -> None:
    for convention in CONVENTIONS:
        assert convention.rate(like(read("1oo1"), rate, mttr, beta)) == TripRate(rate, 0.0)


@given(st.integers(2, 8), RATES, MTTRS, BETAS)
def test_the_more_channels_must_call_for_a_trip_the_lower_is_the_independent_rate(
    n: int, rate: float, mttr: float, beta: float
) -> None:
    bound = min(mttr, 0.1 / rate)
    rates = [SPLIT.rate(like(Voting(m, n), rate, bound, beta)).independent for m in range(1, n + 1)]
    assert all(later <= earlier * (1 + 1e-12) for earlier, later in pairwise(rates))


@given(VOTINGS.filter(lambda voting: voting.n > 1), RATES, MTTRS, BETAS)
def test_the_common_cause_part_is_the_same_for_every_voting_of_several_channels(
    voting: Voting, rate: float, mttr: float, beta: float
) -> None:
    assert SPLIT.rate(like(voting, rate, mttr, beta)).common == pytest.approx(beta * rate, rel=1e-12)


@given(PRINTED.filter(lambda voting: voting.n > 1), RATES, MTTRS, BETAS)
def test_both_conventions_have_the_same_common_cause_part(
    voting: Voting, rate: float, mttr: float, beta: float
) -> None:
    group = like(voting, rate, mttr, beta)
    assert ISA_TR84.rate(group).common == SPLIT.rate(group).common


@given(PRINTED.filter(lambda voting: str(voting) != "2oo4"), RATES, MTTRS)
def test_both_conventions_agree_without_common_cause(voting: Voting, rate: float, mttr: float) -> None:
    group = like(voting, rate, mttr, 0.0)
    assert ISA_TR84.rate(group).total == pytest.approx(SPLIT.rate(group).total, rel=1e-12)


@given(VOTINGS.filter(lambda voting: voting.n > 1), RATES, MTTRS)
def test_without_a_known_beta_no_total_is_given(voting: Voting, rate: float, mttr: float) -> None:
    found = SPLIT.rate(like(voting, rate, mttr, None))
    assert (found.common, found.total, found.per_year, found.common_share) == (None, None, None, None)
    assert found.independent == SPLIT.rate(like(voting, rate, mttr, 0.0)).independent


@pytest.mark.parametrize("wrong", [nan, inf, -1e-9])
def test_no_rate_time_or_beta_is_taken_that_is_none(wrong: float) -> None:
    with pytest.raises(OutOfRange, match="trip rate of a channel"):
        TripGroup(read("1oo2"), (1e-6, wrong), 8.0, 0.1)
    with pytest.raises(OutOfRange, match="MTTR"):
        TripGroup(read("1oo1"), (1e-6,), wrong, 0.1)
    with pytest.raises(OutOfRange, match="beta of safe failures"):
        TripGroup(read("1oo1"), (1e-6,), 8.0, wrong)


def test_the_channels_are_counted() -> None:
    with pytest.raises(OutOfRange, match="2oo3 has 3"):
        TripGroup(read("2oo3"), (1e-6, 1e-6), 8.0, 0.1)


def test_a_d_architecture_has_no_equation() -> None:
    for convention in CONVENTIONS:
        with pytest.raises(VotingRefused, match="1oo2D has no equation"):
            convention.rate(TripGroup(read("1oo2D"), (1e-6, 1e-6), 8.0, 0.1))


def test_other_voting_keeps_the_channels_or_takes_their_mean() -> None:
    group = TripGroup(read("1oo2"), (1e-6, 4e-6), 8.0, 0.1)
    assert group.voted(read("2oo2")).rates == (1e-6, 4e-6)
    assert group.voted(read("2oo3")).rates == pytest.approx((2e-6,) * 3, rel=1e-12)


def test_the_range_of_the_equations_is_known() -> None:
    assert like(read("2oo3"), 1e-4, 1000.0, 0.1).in_range
    assert not like(read("2oo3"), 1e-4, 1001.0, 0.1).in_range


def test_a_channel_that_never_fails_safe_has_a_rate_of_none_and_no_share() -> None:
    found = SPLIT.rate(like(read("1oo2"), 0.0, 8.0, 0.1))
    assert (found.total, found.common_share) == (0.0, None)


def test_the_printed_coefficients_are_those_of_the_sets_of_channels() -> None:
    """Derived: order x C(N, order) for like channels, which is what the general form gives."""
    for row in table("isa_tr84_2002_2_spurious_trips").rows:
        coefficient, order, _ = row["values"]
        n = read(row["voting"]).n
        assert coefficient == order * comb(n, order)
        assert coincident(n, order) == pytest.approx(coefficient, rel=1e-12)


def coincident(n: int, order: int) -> float:
    """The coefficient that the general form has: channels with a rate of 1/h and an MTTR of 1 h."""
    return coinciding((1.0,) * n, failures=order, mttr=1.0)
