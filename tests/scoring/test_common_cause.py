"""Invariants of points, Z and beta_int."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.common_cause import (
    PARTS,
    Part,
    Score,
    beta_int,
    diagnostic_credit,
    points_to_next_band,
    rows,
    score,
    thin_categories,
    worst_beta,
)
from scoring.limits import OutOfRange
from tests.rule import Rule
from tests.scoring import draws

EVERY_ROW = sorted({name for part in PARTS for name in rows(part)})
claims = st.sets(st.sampled_from(EVERY_ROW))
points = st.floats(0.0, 200.0)
credits_z = st.sampled_from([0.0, 0.5, 1.0, 1.5, 2.0])


@given(part=draws.parts, first=points, second=points)
def test_more_points_never_raise_beta(part: Part, first: float, second: float) -> None:
    fewer, more = sorted((first, second))
    assert beta_int(part, more) <= beta_int(part, fewer) <= worst_beta(part)


@given(part=draws.parts, claimed=claims, added=st.sampled_from(EVERY_ROW), z=credits_z)
def test_claiming_one_more_row_never_lowers_the_score(part: Part, claimed: set[str], added: str, z: float) -> None:
    before, after = score(part, claimed, z=z), score(part, claimed | {added}, z=z)
    assert after.x >= before.x
    assert after.y >= before.y
    assert after.s >= before.s
    assert after.s_d >= before.s_d


@given(part=draws.parts, claimed=claims, z=credits_z)
def test_diagnostics_never_lower_the_score(part: Part, claimed: set[str], z: float) -> None:
    scored = score(part, claimed, z=z)
    assert scored.s_d >= scored.s
    assert score(part, claimed).s_d == scored.s


@given(part=draws.parts, claimed=claims)
def test_rows_of_another_part_score_nothing(part: Part, claimed: set[str]) -> None:
    assert score(part, claimed) == score(part, claimed & set(rows(part)))


@pytest.mark.parametrize("part", PARTS)
def test_nothing_claimed_scores_nothing_and_takes_the_worst_class(part: Part) -> None:
    assert score(part, set()) == Score(0.0, 0.0, 0.0)
    assert beta_int(part, 0.0) == worst_beta(part)


@given(part=draws.parts, claimed=claims)
def test_of_alternatives_only_the_best_claimed_one_counts(part: Part, claimed: set[str]) -> None:
    applicable = [row for row in rows(part).values() if row.id in claimed]
    sets = {row.alternatives for row in applicable if row.alternatives}
    free = sum(row.x + row.y for row in applicable if not row.alternatives)
    best = sum(max(row.x + row.y for row in applicable if row.alternatives == name) for name in sets)
    assert score(part, claimed).s == free + best


@given(part=draws.parts, total=points)
def test_the_missing_points_lead_into_a_better_band(part: Part, total: float) -> None:
    missing = points_to_next_band(part, total)
    if missing is None:
        assert beta_int(part, total) == min(beta_int(part, limit) for limit in (0.0, 45.0, 70.0, 120.0))
    else:
        assert missing > 0.0
        # One millionth of a point for the rounding of the sum.
        assert beta_int(part, total + missing + 1e-6) < beta_int(part, total)


@given(part=draws.parts, low=draws.fractions, high=draws.fractions, quick=st.floats(0, 300), slow=st.floats(0, 300))
def test_better_or_quicker_diagnostics_never_lower_z(
    part: Part, low: float, high: float, quick: float, slow: float
) -> None:
    (low, high), (quick, slow) = sorted((low, high)), sorted((quick, slow))
    best = diagnostic_credit(part, coverage=high, interval=quick)
    assert 0.0 <= diagnostic_credit(part, coverage=low, interval=quick) <= best <= 2.0
    assert diagnostic_credit(part, coverage=high, interval=slow) <= best


def test_a_coverage_that_is_no_fraction_is_refused_by_name() -> None:
    with Rule() as rule:
        for part, coverage in product(PARTS, (float("nan"), -0.01, 1.01)):
            refused = pytest.raises(OutOfRange, match=r"^diagnostic coverage is ")
            with rule.case(f"{part}, {coverage}"), refused:
                diagnostic_credit(part, coverage=coverage, interval=1.0)


@pytest.mark.parametrize("part", PARTS)
def test_no_category_is_thin_when_everything_is_claimed(part: Part) -> None:
    # The smallest categories of Table D.1 hold 10 of about 100 points, the limit is one twentieth.
    assert thin_categories(part, set(rows(part))) == ()


@pytest.mark.parametrize("part", PARTS)
def test_a_category_without_any_claim_is_thin(part: Part) -> None:
    claimed = {row.id for row in rows(part).values() if row.category != "CMP"}
    assert thin_categories(part, claimed) == ("CMP",)
