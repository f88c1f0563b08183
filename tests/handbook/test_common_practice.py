"""What every practitioner expects and no one document is quoted for."""

from __future__ import annotations

from itertools import product

import pytest

from scoring.architecture.fault_tolerance import route_1h
from scoring.architecture.safe_failure_fraction import safe_failure_fraction
from scoring.methods.registry import MOON_FACTORS
from scoring.spurious_trips.conventions import CONVENTIONS
from scoring.spurious_trips.trip_rate import TripGroup
from scoring.voting import VotingRefused, read
from tests.handbook.given import YEAR, undetected_only
from tests.rule import Rule


@pytest.mark.parametrize(
    ("arch", "tolerance"),
    [
        ("1oo1", 0),
        ("1oo2", 1),
        ("2oo2", 0),
        ("1oo3", 2),
        ("2oo3", 1),
        ("3oo3", 0),
        ("1oo4", 3),
        ("2oo4", 2),
        ("3oo4", 1),
    ],
)
def test_hardware_fault_tolerance_is_the_number_of_spare_channels(arch: str, tolerance: int) -> None:
    """Common practice, no source: the definition N - M."""
    assert read(arch).tolerance == tolerance
    assert read(arch).redundant == (tolerance > 0)


def test_a_group_without_redundancy_has_no_beta_factor() -> None:
    """Common practice, no source: nothing to share."""
    with Rule() as rule:
        for arch, convention in product(("1oo1", "2oo2", "3oo3"), MOON_FACTORS.ids()):
            refused = pytest.raises(VotingRefused, match=f"{arch} survives no failure")
            with rule.case(f"{arch}, {convention}"), refused:
                MOON_FACTORS.get(convention, 1).factor(read(arch))


def test_redundancy_gains_about_one_over_beta_where_lambda_t_is_small() -> None:
    """Common practice, no source: the ceiling of the gain.

    Tolerance: the independent part over the shared part, below 2 lambda T / beta for these votings.
    """
    with Rule() as rule:
        for arch, beta in product(("1oo2", "2oo3", "1oo3", "2oo4"), (0.01, 0.02, 0.05, 0.1)):
            with rule.case(f"{arch}, beta {beta}"):
                lambda_t = 1.0e-5
                one = undetected_only("1oo1", lambda_du=lambda_t / YEAR, interval=YEAR).total
                group = undetected_only(arch, lambda_du=lambda_t / YEAR, interval=YEAR, beta=beta).total
                assert one / group < 1.0 / beta
                assert one / group == pytest.approx(1.0 / beta, rel=2.0 * lambda_t / beta)


def test_two_out_of_three_fails_like_three_pairs() -> None:
    """Common practice, no source: without shared failures a 2oo3 group has three times the PFDavg of a pair."""
    pair = undetected_only("1oo2", lambda_du=1.0e-6, interval=YEAR).total
    assert undetected_only("2oo3", lambda_du=1.0e-6, interval=YEAR).total == pytest.approx(3.0 * pair, rel=1e-12)


def test_nearly_all_failures_of_a_relay_are_safe() -> None:
    """Common practice, no source: about 97 % of relay failures are safe.

    So a relay without any diagnostics, a device of type A, lies in the row of 90 to below 99 %.
    """
    sff = safe_failure_fraction(safe=97.0, detected=0.0, undetected=3.0)
    assert sff == pytest.approx(0.97, rel=1e-12)
    assert route_1h(sil=3, kind="A", sff=sff) == 0


def test_a_solid_state_output_fails_either_way() -> None:
    """Common practice, no source: half of its failures are safe, half dangerous.

    So without diagnostics it lies below 60 %, and as a device of type B it needs a second channel even for SIL 1.
    """
    sff = safe_failure_fraction(safe=50.0, detected=0.0, undetected=50.0)
    assert sff == pytest.approx(0.5, rel=1e-12)
    assert route_1h(sil=1, kind="B", sff=sff) == 1


def test_two_out_of_three_reveals_a_safe_failure_by_discrepancy() -> None:
    """Common practice, no source: one safe failure trips no 2oo3 group, and is repaired within MTTR as it is seen at once.

    So without common cause its trips are rarer than those of one channel by 6 lambda MTTR, whatever the proof test.
    """
    rate, mttr = 5.5e-7, 24.0
    for convention in CONVENTIONS:
        group = convention.rate(TripGroup(read("2oo3"), (rate,) * 3, mttr, 0.0))
        one = convention.rate(TripGroup(read("1oo1"), (rate,), mttr, 0.0))
        assert group.independent / one.independent == pytest.approx(6.0 * rate * mttr, rel=1e-12)
