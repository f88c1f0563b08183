"""ISA-TR84.00.02-2002 Part 2: simplified equations of the spurious trip rate, without the systematic term."""

from __future__ import annotations

import pytest

from scoring.spurious_trips.conventions import ISA_TR84, SPLIT
from scoring.spurious_trips.trip_rate import TripGroup
from scoring.voting import VotingRefused, read
from tests.handbook.given import printed

RATE, MTTR, BETA = 1.0e-6, 8.0, 0.1


def group(arch: str) -> TripGroup:
    """Channels with a trip rate of 1e-6/h each, MTTR 8 h, beta 10 %."""
    voting = read(arch)
    return TripGroup(voting, (RATE,) * voting.n, MTTR, BETA)


@pytest.mark.parametrize(
    ("arch", "per_hour", "per_year"),
    [
        ("1oo1", "1.0E-06", "0.00876"),
        ("1oo2", "2.1E-06", "0.018396"),
        ("1oo3", "3.1E-06", "0.027156"),
        ("2oo2", "1.00016E-07", "0.00087614"),
        ("2oo3", "1.00048E-07", "0.00087642"),
        ("2oo4", "1.0E-07", "0.000876"),
    ],
)
def test_simplified_equations(arch: str, per_hour: str, per_year: str) -> None:
    """Confidence: memory (the equations; their values derived). lambda_S 1e-6/h, no detected dangerous failures, MTTR 8 h, beta 10 %."""
    rate = ISA_TR84.rate(group(arch))
    assert rate.total == printed(per_hour)
    assert rate.per_year == printed(per_year)


@pytest.mark.parametrize(
    ("arch", "coefficient", "order"),
    [("1oo2", 2, 1), ("1oo3", 3, 1), ("2oo2", 2, 2), ("2oo3", 6, 2), ("2oo4", 12, 3)],
)
def test_independent_part_of_each_equation(arch: str, coefficient: int, order: int) -> None:
    """Confidence: memory. coefficient x lambda^order x MTTR^(order - 1), which the digits of the totals above do not show."""
    expected = coefficient * RATE**order * MTTR ** (order - 1)
    assert ISA_TR84.rate(group(arch)).independent == pytest.approx(expected, rel=1e-12)


def test_pair_with_a_split_of_beta() -> None:
    """Confidence: memory. The second convention gives (2 - beta) lambda_S for 1oo2."""
    assert SPLIT.rate(group("1oo2")).total == pytest.approx((2.0 - BETA) * RATE, rel=1e-12)


def test_a_voting_that_is_not_printed_is_refused() -> None:
    """Confidence: memory. Part 2 prints no 3oo4."""
    with pytest.raises(VotingRefused, match="3oo4 has no equation in ISA-TR84"):
        ISA_TR84.rate(group("3oo4"))


def test_two_out_of_four_is_printed_with_one_failure_too_many() -> None:
    """Confidence: derived. Two safe failures trip a 2oo4 group: 12 lambda^2 MTTR, not 12 lambda^3 MTTR^2."""
    alone = TripGroup(read("2oo4"), (RATE,) * 4, MTTR, 0.0)
    assert SPLIT.rate(alone).independent == pytest.approx(12 * RATE**2 * MTTR, rel=1e-12)
