"""US NRC NUREG/CR-5485 (1998), alpha factor model: generic means, screening values, forms; and figures derived from its forms."""

from __future__ import annotations

from math import ceil, comb

import pytest

from scoring.field_data import alpha_factors, impact_vectors, pair_beta

GENERIC = {2: (0.953, 0.047), 3: (0.95, 0.0242, 0.0258), 4: (0.95, 0.0213, 0.0101, 0.0186)}
"""Table 5-11: generic prior means of alpha by the size of the group."""
SCREENING = {
    True: {"1oo2": 0.05, "1oo3": 0.03, "2oo3": 0.07, "1oo4": 0.02, "2oo4": 0.04, "3oo4": 0.08},
    False: {"1oo3": 0.08, "2oo3": 0.14, "1oo4": 0.07, "2oo4": 0.11, "3oo4": 0.19},
}
"""Screening values by success criterion, staggered or not. Left out: 1oo2 not staggered, printed 0.10, where the alphas give 0.0898."""


@pytest.mark.parametrize("size", GENERIC)
@pytest.mark.parametrize("staggered", [True, False])
def test_generic_alphas_give_the_screening_values_rounded_up(*, size: int, staggered: bool) -> None:
    """Screening values of the global parameter against Table 5-11. Confidence: closure.

    The share of a channel's failures that defeats MooN is the sum over k of C(N,k) Q_k / Q_t from N-M+1 on.
    """
    ratios = alpha_factors.ratios(GENERIC[size], staggered=staggered)
    for voting, printed in SCREENING[staggered].items():
        needed, fitted = (int(part) for part in voting.split("oo"))
        if fitted == size:
            share = sum(comb(size, number) * ratios[number - 1] for number in range(size - needed + 1, size + 1))
            assert ceil(round(share * 100.0, 6)) / 100.0 == pytest.approx(printed), voting


def test_generic_alphas_give_these_greek_letters() -> None:
    """Multiple Greek letters of Table 5-11. Confidence: derived (by the forms of Table A-2, in four digits)."""
    letters = alpha_factors.greek_letters
    assert letters(GENERIC[3], staggered=True) == pytest.approx((0.05, 0.516), abs=5e-5)
    assert letters(GENERIC[4], staggered=True) == pytest.approx((0.05, 0.574, 0.648), abs=5e-4)
    assert letters(GENERIC[3], staggered=False) == pytest.approx((0.1169, 0.6153), abs=5e-5)
    assert letters(GENERIC[4], staggered=False) == pytest.approx((0.1342, 0.7108, 0.7106), abs=5e-5)
    assert pair_beta.beta_of(GENERIC[2][1], staggered=False) == pytest.approx(0.0898, abs=5e-5)


def test_three_channels_tested_together() -> None:
    """Alpha .95, .035, .015. Confidence: derived, in six digits."""
    alpha = (0.95, 0.035, 0.015)
    assert alpha_factors.ratios(alpha, staggered=False) == pytest.approx((0.892019, 0.0328638, 0.0422535), abs=5e-7)
    assert alpha_factors.greek_letters(alpha, staggered=False) == pytest.approx((0.107981, 0.391304), abs=5e-7)


def test_three_channels_tested_in_turn() -> None:
    """Alpha .95, .035, .015; beta = a2 + a3, gamma = a3 / (a2 + a3), Table A-2. Confidence: derived."""
    alpha = (0.95, 0.035, 0.015)
    assert alpha_factors.ratios(alpha, staggered=True) == pytest.approx((0.95, 0.0175, 0.015))
    assert alpha_factors.greek_letters(alpha, staggered=True) == pytest.approx((0.05, 0.30))


@pytest.mark.parametrize(
    ("strength", "means"),
    [(1.0, (0.998649, 0.000811, 0.000405, 0.000135)), (10.0, (0.989130, 0.006522, 0.003261, 0.001087))],
)
def test_thirty_six_single_failures_against_a_prior(strength: float, means: tuple[float, ...]) -> None:
    """Prior .95, .03, .015, .005, counts 36, 0, 0, 0. Confidence: derived, in six digits."""
    after = alpha_factors.prior((0.95, 0.03, 0.015, 0.005), strength=strength).with_counts((36, 0, 0, 0))
    assert after.means == pytest.approx(means, abs=5e-7)
    assert after.strength == pytest.approx(36.0 + strength)


def test_two_doubles_in_forty_two_events() -> None:
    """Jeffreys' prior, counts 40 and 2: mean .05814, quantiles .01379, .05139, .12561. Confidence: derived."""
    after = alpha_factors.jeffreys(2).with_counts((40, 2))
    found = after.quantiles(2)
    assert after.means[1] == pytest.approx(0.05814, abs=5e-6)
    assert (found.p5, found.p50, found.p95) == pytest.approx((0.01379, 0.05139, 0.12561), abs=5e-6)


def test_impact_vectors_of_four_channels_mapped_to_three() -> None:
    """Mapping down from four to three: P1 = 3/4 P1 + 1/2 P2, P2 = 1/2 P2 + 3/4 P3, P3 = 1/4 P3 + P4. Confidence: memory."""
    for at, expected in enumerate(((0.75, 0.0, 0.0), (0.5, 0.5, 0.0), (0.0, 0.75, 0.25), (0.0, 0.0, 1.0))):
        counts = tuple(float(number == at) for number in range(4))
        assert impact_vectors.mapped_down(counts, size=3) == pytest.approx(expected)
