"""A function from below: never above the mean of the function, for any betas up to the largest, and near it where it is small.

Source: the inequality of the module, derived; compared with the function itself. Confidence: derived.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scoring.timeline.below import AtMost, Below, UndetectedAtMost, Worst
from scoring.timeline.failures import Undetected
from scoring.timeline.function import Entry, Function, Part
from scoring.timeline.group import Device, Element, Error, Group, InTest, Sought
from scoring.timeline.histories import history
from scoring.timeline.instants import Rhythm, search
from scoring.timeline.times import Times
from scoring.voting import Voting

YEAR = 8760.0
MISSION = 5 * YEAR
NONE = (np.zeros((1, 1)), np.zeros((1, 1)))
VOTINGS = st.sampled_from(
    [Voting(1, 1), Voting(1, 2), Voting(2, 2), Voting(2, 3), Voting(1, 3), Voting(1, 2, diagnostic=True)]
)
RATES = st.sampled_from([0.0, 1e-8, 1e-6, 3e-5, 4e-4])
BETAS = st.sampled_from([0.0, 0.01, 0.2, 1.0])


@st.composite
def groups(draw: st.DrawFn) -> Group:
    """Groups with low and very high rates, slow repair, tests on one day or spread, errors and time in test."""
    voting, interval = draw(VOTINGS), draw(st.sampled_from([720.0, YEAR, 2 * YEAR]))
    spread, rest = draw(st.booleans()), draw(st.sampled_from([0.0, 0.3]))
    du, dd = draw(st.sampled_from([1e-7, 2e-6, 5e-5])), draw(RATES)
    channels: list[tuple[Device | Element, ...]] = []
    twice = not voting.diagnostic and draw(st.booleans())
    for place in range(voting.n):
        test = Rhythm(interval, interval * place / voting.n if spread else 0.0)
        sought = (Sought(1.0 - rest, test), *((Sought(rest, None),) if rest else ()))
        device = Device(du, dd, sought, sd=1e-6 if voting.diagnostic else 0.0)
        channels.append((Element(Voting(1, 2), (device, device), 0.1, 0.05),) if twice else (device,))
    more: dict[str, Any] = {}
    if draw(st.booleans()):
        more["errors"] = (Error((Rhythm(interval),), 0.01),)
    if draw(st.booleans()):
        more["in_test"] = (InTest(Rhythm(interval), 24.0, draw(st.sampled_from([None, 0]))),)
    repair = draw(st.sampled_from([0.0, 24.0, 2000.0]))
    return Group(
        voting, tuple(channels), repair, draw(st.sampled_from([8.0, 500.0])), draw(BETAS), draw(BETAS),
        check_others=draw(st.booleans()), switch=0.9, **more,
    )  # fmt: skip


def _lower(group: Group, shares: tuple[float, float]) -> Group:
    return replace(group, beta=np.array([group.beta * shares[0]]), beta_d=np.array([group.beta_d * shares[1]]))


SHARES = st.tuples(st.sampled_from([0.0, 0.3, 1.0]), st.sampled_from([0.0, 0.3, 1.0]))


@settings(max_examples=60, deadline=None)
@given(groups(), SHARES)
def test_a_group_is_never_more_often_down_than_its_bound(group: Group, shares: tuple[float, float]) -> None:
    at = Times.single(np.linspace(0.0, MISSION, 2001))
    above = AtMost(group, MISSION).down(at)
    down = history(_lower(group, shares), MISSION).down(at)
    assert (down <= np.broadcast_to(above, down.shape) + 1e-12).all()


@settings(max_examples=60, deadline=None)
@given(
    st.lists(groups(), min_size=2, max_size=3),
    st.lists(SHARES, min_size=3, max_size=3),
    st.tuples(st.booleans(), st.booleans()),
    BETAS,
)
def test_the_sum_over_the_entries_is_never_above_the_function(
    listed: list[Group], shares: list[tuple[float, float]], how: tuple[bool, bool], beta: float
) -> None:
    """``how``: in low demand, and whether the first two are alternatives."""
    low, any_of = how

    def entries(of: list[Group]) -> list[Entry]:
        parts = [Part(group, NONE, detected=True) for group in of]
        constant = Entry((Part(None, (np.full((1, 1), 1e-3), np.full((1, 1), 1e-8))),))
        if any_of:
            return [Entry(tuple(parts[:2]), beta), *(Entry((part,)) for part in parts[2:]), constant]
        return [*(Entry((part,)) for part in parts), constant]

    lower = entries([_lower(group, share) for group, share in zip(listed, shares, strict=False)])
    _, whole = Function(lower, MISSION, low=low).means()
    worst = [Worst(tuple((part,) for part in entry.parts), entry.beta) for entry in entries(listed)]
    below = Below(worst, MISSION, low=low)
    total = sum(below.mean(at, entry, values=1)[0] for at, entry in enumerate(lower))
    assert total <= whole[0] * (1.0 + 1e-9)
    if below.highest < 0.02 and low:
        assert total >= whole[0] * 0.9


@settings(max_examples=30, deadline=None)
@given(groups(), groups(), groups(), SHARES, st.sampled_from(["low", "high"]))
def test_the_sum_is_below_whichever_of_two_a_group_is(
    one: Group, instead: Group, other: Group, share: tuple[float, float], demand: str
) -> None:
    """Such as the group with a change of its tests or voting, and without."""
    parts, low = [Part(group, NONE, detected=True) for group in (one, instead, other)], demand == "low"
    below = Below([Worst(((parts[0], parts[1]),)), Worst(((parts[2],),))], MISSION, low=low)
    for chosen in (one, instead):
        lower = [Entry((Part(_lower(group, share), NONE, detected=True),)) for group in (chosen, other)]
        _, whole = Function(lower, MISSION, low=low).means()
        total = sum(below.mean(at, entry, values=1)[0] for at, entry in enumerate(lower))
        assert total <= whole[0] * (1.0 + 1e-9)


@settings(max_examples=40, deadline=None)
@given(RATES, st.sampled_from([0.0, 24.0, 3000.0]), st.sampled_from([1, 2]))
def test_undetected_failures_from_above_rise_with_the_rate_and_are_above(
    rate: float, repair: float, needed: int
) -> None:
    found = search((Rhythm(YEAR), Rhythm(YEAR, 3000.0)), needed, MISSION)
    at = Times.single(np.linspace(0.0, MISSION, 1001))
    rates = np.array([rate, 2.0 * rate])
    above = UndetectedAtMost(rates, found, repair).down(at)
    assert (Undetected(rates, found, repair).down(at) <= above + 1e-12).all()
    assert (above[:, 0] <= above[:, 1]).all()
    if rate == 1e-8:
        assert above[-1, 0] == pytest.approx(Undetected(rates, found, repair).down(at)[-1, 0], rel=1e-3)
