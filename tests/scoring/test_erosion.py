"""Invariants of what redundancy gains and how much of it is kept."""

from __future__ import annotations

from dataclasses import asdict
from math import fsum

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.erosion import Cases, break_even, sum_of_groups

probabilities = st.floats(1e-12, 0.5)


@st.composite
def ordered(draw: st.DrawFn) -> Cases:
    """Cases of a group that voting improves, and that common cause and exposure worsen."""
    ideal, scored, adjusted, single = sorted(draw(probabilities) for _ in range(4))
    return Cases(single=single, ideal=ideal, scored=scored, adjusted=adjusted)


any_cases = st.builds(Cases, single=probabilities, ideal=probabilities, scored=probabilities, adjusted=probabilities)


@given(case=ordered())
def test_the_kept_share_is_a_fraction(case: Cases) -> None:
    if case.share_kept is None:
        assert case.ideal == case.single
    else:
        assert 0.0 <= case.share_kept <= 1.0


@given(single=probabilities, ideal=probabilities)
def test_everything_kept_is_one_and_everything_lost_is_zero(single: float, ideal: float) -> None:
    if single / ideal > 1.0:
        assert Cases(single=single, ideal=ideal, scored=ideal, adjusted=ideal).share_kept == 1.0
        assert Cases(single=single, ideal=ideal, scored=ideal, adjusted=single).share_kept == 0.0


@given(single=probabilities, worse=st.floats(1.0, 100.0))
def test_where_voting_gains_nothing_no_share_is_stated(single: float, worse: float) -> None:
    assert Cases(single=single, ideal=single * worse, scored=single, adjusted=single).share_kept is None


@given(case=any_cases)
def test_together_of_one_is_itself(case: Cases) -> None:
    assert sum_of_groups([case]) == case


@given(cases=st.lists(any_cases, max_size=8))
def test_a_function_is_the_sum_of_its_groups_case_by_case(cases: list[Cases]) -> None:
    for name, total in asdict(sum_of_groups(cases)).items():
        assert total == fsum(getattr(case, name) for case in cases)


@given(pfd=st.floats(0.0, 0.5), target_rrf=st.floats(1.0, 1e6))
def test_break_even_puts_the_risk_reduction_exactly_at_the_target(pfd: float, target_rrf: float) -> None:
    p = break_even(pfd=pfd, target_rrf=target_rrf)
    if p is None:
        assert pfd > 1.0 / target_rrf
    else:
        assert 0.0 <= p <= 1.0
        # 1e-9: up to six digits are lost where the PFD is close to the target.
        assert 1.0 / (pfd + p * (1.0 - pfd)) == pytest.approx(target_rrf, rel=1e-9)


def test_break_even_is_zero_at_the_target_and_none_where_the_target_is_missed() -> None:
    assert break_even(pfd=0.002, target_rrf=500.0) == 0.0
    assert break_even(pfd=0.0021, target_rrf=500.0) is None
