"""Invariants of voting and of the MooN factor."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.methods.registry import MOON_FACTORS
from scoring.voting import MOST_CHANNELS, Voting, VotingRefused, read
from tests.rule import Rule
from tests.scoring import draws


def test_a_voting_reads_as_it_is_written() -> None:
    with Rule() as rule:
        for voting in draws.ALL_VOTINGS:
            with rule.case(voting):
                assert read(str(voting)) == voting


@given(m=st.integers(-2, 12), n=st.integers(-2, 12))
def test_only_m_between_one_and_n_is_possible(m: int, n: int) -> None:
    if 1 <= m <= n <= MOST_CHANNELS:
        assert Voting(m, n).tolerance == n - m
    else:
        with pytest.raises(VotingRefused, match=f"^{m}oo{n} is not possible"):
            Voting(m, n)


def test_text_that_is_no_voting_is_refused() -> None:
    with Rule() as rule:
        for text in ("", "2/3", "2oo", "oo3", "2OO3", "2oo3 ", "02oo3", "2oo3\n", "1oo10", "two out of three"):
            with rule.case(repr(text)), pytest.raises(VotingRefused, match="is no voting"):
                read(text)


@pytest.mark.parametrize("convention", MOON_FACTORS.ids())
def test_a_pair_is_the_measure_of_every_convention(convention: str) -> None:
    assert MOON_FACTORS.get(convention, 1).factor(Voting(1, 2)) == 1.0


def test_without_a_convention_every_group_keeps_its_beta() -> None:
    with Rule() as rule:
        for voting in draws.REDUNDANT:
            with rule.case(voting):
                assert MOON_FACTORS.get("none", 1).factor(voting) == 1.0


@pytest.mark.parametrize(("convention", "most"), [("iec61508-6-2010", 5), ("pds-2013", 6)])
def test_no_factor_is_extrapolated(convention: str, most: int) -> None:
    with Rule() as rule:
        for voting in draws.REDUNDANT:
            with rule.case(voting):
                if voting.n > most:
                    with pytest.raises(VotingRefused, match=f"{voting} has no factor in {convention}"):
                        MOON_FACTORS.get(convention, 1).factor(voting)
                else:
                    assert MOON_FACTORS.get(convention, 1).factor(voting) > 0.0


@pytest.mark.parametrize("convention", ["iec61508-6-2010", "pds-2013"])
def test_the_factor_grows_with_the_channels_that_must_act(convention: str) -> None:
    with Rule() as rule:
        for n in range(2, 6):
            with rule.case(f"{n} channels"):
                factors = [MOON_FACTORS.get(convention, 1).factor(Voting(m, n)) for m in range(1, n)]
                assert factors == sorted(factors)


def test_a_group_has_at_most_eight_channels() -> None:
    assert MOST_CHANNELS == 8
