"""Strategies that draw random groups, rates and tests."""

from __future__ import annotations

from hypothesis import strategies as st

from scoring.common_cause import PARTS
from scoring.equipment import Rates, Upkeep
from scoring.voting import MOST_CHANNELS, Voting

ALL_VOTINGS = [Voting(m, n) for n in range(1, MOST_CHANNELS + 1) for m in range(1, n + 1)]
REDUNDANT = [voting for voting in ALL_VOTINGS if voting.redundant]

parts = st.sampled_from(PARTS)
votings = st.sampled_from(ALL_VOTINGS)
redundant = st.sampled_from(REDUNDANT)
fractions = st.floats(0.0, 1.0)
rates = st.builds(Rates, du=st.floats(1e-10, 1e-5), dd=st.floats(0.0, 1e-5))


@st.composite
def upkeeps(draw: st.DrawFn) -> Upkeep:
    interval = draw(st.floats(100.0, 90000.0))
    full = interval * draw(st.floats(1.0, 20.0))
    return Upkeep.proof_test(
        interval=interval,
        coverage=draw(fractions),
        full_interval=full,
        mrt=draw(st.floats(0.0, 200.0)),
        mttr=draw(st.floats(0.0, 200.0)),
    )


@st.composite
def rare(draw: st.DrawFn) -> tuple[Rates, Upkeep]:
    """Channel and upkeep well inside the range of the equations: lambda_D T1 up to 0.01, perfect test, quick repair."""
    interval = draw(st.floats(100.0, 90000.0))
    share = draw(st.floats(0.0, 0.99))
    all_dangerous = draw(st.floats(1e-5, 1e-2)) / interval
    repair = draw(st.floats(0.0, 0.01)) * interval
    channel = Rates(du=all_dangerous * (1.0 - share), dd=all_dangerous * share)
    return channel, Upkeep.proof_test(interval=interval, coverage=1.0, full_interval=interval, mrt=repair, mttr=repair)
