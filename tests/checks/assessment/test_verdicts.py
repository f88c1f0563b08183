"""Two verdicts on every function, and the obstacle between it and its target."""

from __future__ import annotations

import pytest

from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from scoring.erosion import Cases


def function(
    *,
    ideal: float,
    scored: float,
    adjusted: float,
    target: float = 500.0,
    unreviewed: tuple[str, ...] = (),
    name: str = "F",
) -> FunctionResult:
    """A low-demand function by its RRF in each case."""
    cases = Cases(single=1.0 / 40.0, ideal=1.0 / ideal, scored=1.0 / scored, adjusted=1.0 / adjusted)
    return FunctionResult(name, "low", (), cases, target, None, None, unreviewed)


@pytest.mark.parametrize(
    ("rrf", "standing"),
    [(512.0, "meets"), (504.0, "at"), (500.0, "at"), (498.0, "at"), (494.0, "short"), (100.0, "short")],
)
def test_a_result_that_shows_as_the_target_is_at_the_target(rrf: float, standing: str) -> None:
    result = function(ideal=900.0, scored=rrf, adjusted=rrf)
    assert verdicts.standing(result, "scored") == standing
    words = verdicts.in_words(result, "scored")
    assert ("is at the target" in words) == (standing == "at")
    assert "1.00" not in words


@pytest.mark.parametrize(
    ("ideal", "scored", "adjusted", "obstacle"),
    [
        (400.0, 300.0, 200.0, "redundancy"),
        (900.0, 300.0, 200.0, "common cause"),
        (900.0, 590.0, 230.0, "cyber scenario"),
        (900.0, 590.0, 520.0, ""),
        (900.0, 498.0, 498.0, ""),
    ],
)
def test_the_obstacle_follows_from_the_four_cases(ideal: float, scored: float, adjusted: float, obstacle: str) -> None:
    """The rule of the two verdicts: ideal misses, ideal meets and scored misses, scored meets and adjusted misses."""
    assert verdicts.obstacle(function(ideal=ideal, scored=scored, adjusted=adjusted)) == obstacle


def test_a_house_rule_alone_fails_no_function_with_common_cause() -> None:
    result = function(ideal=1800.0, scored=590.0, adjusted=230.0, name="SIF-301")
    words = " ".join(verdicts.summary([result]))
    assert words.startswith(
        "None of 1 function falls short of the target with common cause, 1 with the cyber scenario."
    )
    assert "Only the cyber scenario, a house rule, stands between SIF-301 and its target." in words
    assert "Common cause stands" not in words


def test_both_verdicts_come_in_their_order() -> None:
    words = verdicts.both_verdicts(function(ideal=1800.0, scored=590.0, adjusted=230.0))
    assert words.index("With common cause it meets the target") < words.index(
        "With the cyber scenario (house rule) it falls short"
    )


def test_a_zone_that_nobody_reviewed_is_the_worse_state_not_the_better_number() -> None:
    result = function(ideal=1800.0, scored=590.0, adjusted=590.0, unreviewed=("pt-1",))
    assert verdicts.in_short(result, "adjusted") == "not reviewed"
    assert "nobody has reviewed the zone of pt-1" in verdicts.in_words(result, "adjusted")
    assert verdicts.in_short(result, "scored") == "meets the target"
    already = function(ideal=1800.0, scored=300.0, adjusted=300.0, unreviewed=("pt-1",))
    assert verdicts.in_short(already, "adjusted") == "falls short"


@pytest.mark.parametrize(
    ("ideal", "scored", "adjusted", "beyond"),
    [(100.0, 50.0, 40.0, False), (0.5, 0.4, 0.4, True), (100.0, 101.0, 90.0, True), (100.0, 100.0, 100.0, False)],
)
def test_a_result_that_no_plant_can_have_says_that_the_equations_do_not_hold(
    ideal: float,
    scored: float,
    adjusted: float,
    beyond: bool,  # noqa: FBT001
) -> None:
    """A probability is at most 1, and beta is at least 0."""
    result = function(ideal=ideal, scored=scored, adjusted=adjusted)
    assert verdicts.outside_range(result) == beyond
    assert any("The equations do not hold for F" in sentence for sentence in verdicts.summary([result])) == beyond


def test_no_share_above_100_per_cent_is_shown() -> None:
    assert verdicts.share_kept(Cases(single=1e-2, ideal=1e-4, scored=0.9e-4, adjusted=0.9e-4)) is None
    assert verdicts.share_kept(Cases(single=1e-2, ideal=1e-4, scored=1e-4, adjusted=1e-4)) == 1.0


@pytest.mark.parametrize(("ideal", "shown"), [(59.0, False), (61.0, True)])  # 40 times the factor 1.5
def test_share_kept_is_shown_only_where_redundancy_gains_a_factor_of_one_and_a_half(ideal: float, shown: bool) -> None:  # noqa: FBT001
    assert (verdicts.share_kept(function(ideal=ideal, scored=50.0, adjusted=45.0).cases) is not None) == shown


@pytest.mark.parametrize(
    ("scored", "misses", "words"),
    [
        (640.0, 0.26, "meets the target by a factor 1.3; 1 in 4 that it does not, mostly for the failure rates of ESV"),
        (640.0, 0.04, "meets the target by a factor 1.3; under 1 in 20 that it does not"),
        (500.0, 0.43, "is at the target; 4 in 10 that it falls short, mostly for the failure rates of ESV"),
        (250.0, 0.9, "falls short of the target by a factor 2.0; 1 in 10 that it meets it, mostly for the failure rates of ESV"),
        (400.0, 0.4, "falls short of the target by a factor 1.2; 6 in 10 that it meets it, mostly for the failure rates of ESV"),
    ],
)  # fmt: skip
def test_a_verdict_inside_the_band_gives_the_odds_against_it(scored: float, misses: float, words: str) -> None:
    result = function(ideal=900.0, scored=scored, adjusted=scored)
    assert verdicts.with_doubt(result, misses, "the failure rates of ESV") == words
