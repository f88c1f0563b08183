"""Partial sums of eight judged factors: Humphreys 1987 and the unified partial method, each with its own divisor."""

from __future__ import annotations

import pytest

from scoring.beta.partial_sums import HUMPHREYS, UPM


def test_humphreys_best_level_everywhere_is_exactly_one_in_a_thousand() -> None:
    """R. A. Humphreys, Reliability '87: 51/51000. Confidence: closure (the sum gives exactly 0.001)."""
    assert HUMPHREYS.beta(dict.fromkeys(HUMPHREYS.points(), "level-e")) == pytest.approx(0.001, abs=1e-15)


@pytest.mark.parametrize(("level", "total"), [("a", 15100), ("b", 3650), ("c", 875), ("d", 210), ("e", 51)])
def test_humphreys_one_level_everywhere_is_its_sum_over_51000(level: str, total: int) -> None:
    """R. A. Humphreys, Reliability '87, sums of the levels. Confidence: closure."""
    grades = dict.fromkeys(HUMPHREYS.points(), f"level-{level}")
    assert HUMPHREYS.beta(grades) == pytest.approx(total / 51000, rel=1e-12)


@pytest.mark.parametrize(("level", "beta"), [("a", 0.2961), ("b", 0.0716), ("c", 0.0172), ("d", 0.00412), ("e", 0.001)])
def test_humphreys_beta_of_each_level(level: str, beta: float) -> None:
    """R. A. Humphreys, Reliability '87, beta with every factor at one level. Confidence: closure."""
    digits = 5e-6 if beta < 0.01 else 5e-5
    assert HUMPHREYS.beta(dict.fromkeys(HUMPHREYS.points(), f"level-{level}")) == pytest.approx(beta, abs=digits)


def test_humphreys_runs_to_about_thirty_per_cent() -> None:
    """R. A. Humphreys, Reliability '87: every factor at its worst level is 15100/51000. Confidence: closure."""
    best, worst = HUMPHREYS.ends
    assert best == pytest.approx(51 / 51000, rel=1e-12)
    assert worst == pytest.approx(15100 / 51000, rel=1e-12)


@pytest.mark.parametrize(("level", "beta"), [("a", 0.302), ("b", 0.073), ("c", 0.0175), ("d", 0.0042), ("e", 0.00102)])
def test_upm_divides_by_50000(level: str, beta: float) -> None:
    """V. P. Brand, UPM 3.1, 1996: the same sums over 50000. Confidence: memory."""
    assert UPM.beta(dict.fromkeys(UPM.points(), f"level-{level}")) == pytest.approx(beta, abs=1e-12)


def test_upm_has_two_levels_in_between_for_redundancy_and_diversity_alone() -> None:
    """V. P. Brand, UPM 3.1, 1996: A+ 875 and B+ 213 of the first factor. Confidence: memory."""
    between = {
        question: {level: value for level, value in row.items() if level.endswith("plus")}
        for question, row in UPM.points().items()
    }
    assert {question: row for question, row in between.items() if row} == {
        "UPM1": {"level-a-plus": 875.0, "level-b-plus": 213.0}
    }


def test_both_methods_have_the_same_points_for_the_factors_they_share_and_another_divisor() -> None:
    """UPM 3.1 as recalled against Humphreys 1987: separation 2400 to 8, procedures 3000 to 10. Confidence: memory."""

    def five(row: dict[str, float]) -> list[float]:
        return [value for level, value in row.items() if not level.endswith("plus")]

    ours, theirs = (sorted(five(dict(row)) for row in method.points().values()) for method in (HUMPHREYS, UPM))
    assert ours == theirs
    assert (HUMPHREYS.divisor, UPM.divisor) == (51000.0, 50000.0)
