"""Against a simple Monte Carlo of histories, and invariants over random groups.

No document: each history draws when every kind of failure occurs and ends, and counts the hours with too many channels down.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scoring.timeline import means
from scoring.timeline.group import Device, Group, Sought
from scoring.timeline.instants import Rhythm
from scoring.voting import Voting
from tests.scoring.timeline.given import YEAR, mean_down, one_device

HISTORIES = 20_000
MISSION = 3 * YEAR
Spans = list[tuple[float, float]]


def _spans(rng: np.random.Generator, rate: float, instants: np.ndarray, repair: float) -> Spans:
    """When one kind of failure has its channel down: from the failure to the end of the repair after the next test."""
    spans, time = [], rng.exponential(1.0 / rate)
    while time < MISSION:
        later = instants[instants > time]
        end = later[0] + rng.exponential(repair) if len(later) else MISSION
        spans.append((time, min(end, MISSION)))
        time = end + rng.exponential(1.0 / rate)
    return spans


def _hours_down(channels: list[Spans], needed: int) -> float:
    events = sorted(
        (at, way, place) for place, spans in enumerate(channels) for a, b in spans for at, way in ((a, 1), (b, -1))
    )
    down, failed, before, hours = [0] * len(channels), 0, 0.0, 0.0
    for at, way, place in events:
        hours += (at - before) * (failed >= needed)
        before = at
        failed -= down[place] > 0
        down[place] += way
        failed += down[place] > 0
    return hours


def test_the_mean_is_that_of_many_histories() -> None:
    """2oo3 of unlike channels with staggered tests, two test classes in one channel. Within four standard errors."""
    rng = np.random.default_rng(7)
    channels = (
        one_device(4e-5, interval=4380.0),
        one_device(2e-5, offset=2920.0),
        (Device(3e-5, 0.0, (Sought(0.6, Rhythm(2190.0)), Sought(0.4, Rhythm(YEAR, 5840.0)))),),
    )
    group = Group(Voting(2, 3), channels, repair=100.0, restoration=0.0)
    kinds = [
        (place, device.du * sought.share, sought.test)
        for place, (device,) in enumerate(channels)
        for sought in device.sought
    ]
    shares = np.empty(HISTORIES)
    for at in range(HISTORIES):
        spans: list[Spans] = [[] for _ in channels]
        for place, rate, test in kinds:
            assert test is not None
            spans[place] += _spans(rng, float(rate), test.until(MISSION), group.repair)
        shares[at] = _hours_down(spans, 2) / MISSION
    error = shares.std() / np.sqrt(HISTORIES)
    assert abs(mean_down(group, MISSION) - shares.mean()) < 4.0 * error
    assert error < 0.05 * shares.mean()


rates = st.floats(1e-9, 1e-5)
votings = st.integers(1, 4).flatmap(lambda n: st.integers(1, n).map(lambda m: Voting(m, n)))


@st.composite
def groups(draw: st.DrawFn) -> Group:
    """Groups with unlike channels, staggered tests and repair."""
    voting = draw(votings)
    channels = tuple(
        one_device(
            draw(rates),
            dd=draw(rates),
            interval=draw(st.sampled_from((730.0, 4380.0, YEAR))),
            offset=draw(st.sampled_from((0.0, 100.0, 365.0))),
        )
        for _ in range(voting.n)
    )
    beta, beta_d = draw(st.floats(0.0, 1.0)), draw(st.floats(0.0, 1.0))
    return Group(
        voting, channels, draw(st.sampled_from((0.0, 8.0, 72.0))), draw(st.sampled_from((0.0, 24.0))), beta, beta_d
    )


@settings(max_examples=40)
@given(groups())
def test_a_group_is_down_at_times_between_never_and_always_and_more_often_with_a_stricter_voting(group: Group) -> None:
    mean = mean_down(group, MISSION)
    assert 0.0 < mean < 1.0
    voting = group.voting
    if voting.m < voting.n - 1:  # N of N has nothing in common by convention
        stricter = Group(
            Voting(voting.m + 1, voting.n), group.channels, group.repair, group.restoration, group.beta, group.beta_d
        )
        assert mean_down(stricter, MISSION) >= mean * (1.0 - 1e-12)


@settings(max_examples=20)
@given(groups())
def test_a_group_of_several_rows_is_that_of_each_row(group: Group) -> None:
    """Betas in an array are the groups with each of them."""
    betas = np.array([0.0, 0.05, 0.4])
    rows = means.mean_down(replace(group, beta=betas, beta_d=betas), MISSION)
    for beta, row in zip(betas, np.broadcast_to(rows, 3), strict=True):
        assert row == pytest.approx(mean_down(replace(group, beta=float(beta), beta_d=float(beta)), MISSION), rel=1e-12)


def test_a_class_of_failures_that_is_split_in_two_changes_nothing() -> None:
    """Both halves have the same test, so only what overlaps within one device moves, to the second order."""

    def group(*first: float) -> Group:
        often, rarely = Rhythm(720.0), Rhythm(YEAR)
        one = Device(1e-6, 0.0, (*(Sought(share, often) for share in first), Sought(0.1, rarely)))
        other = Device(1e-6, 0.0, (Sought(0.2, often), Sought(0.8, rarely)))
        return Group(Voting(1, 2), ((one,), (other,)), 0.0, 0.0, beta=0.1)

    assert mean_down(group(0.9), MISSION) == pytest.approx(mean_down(group(0.5, 0.4), MISSION), rel=1e-3)


@pytest.mark.parametrize("mrt", [0.0, 8760.0])
@pytest.mark.parametrize("rate", [0.0, 1e-12, 1e-3])
def test_odd_numbers_give_a_probability(rate: float, mrt: float) -> None:
    """No overflow, no NaN: a device that never or often fails, slow repair, a share that no test finds, a mission of a century."""
    channel = (
        Device(rate, rate, (Sought(0.5, Rhythm(876.0, 9000.0)), Sought(0.5, None))),
        Device(1e-9, 0.0, (Sought(1.0, Rhythm(1e6)),)),
    )
    mean = mean_down(Group(Voting(2, 3), (channel,) * 3, mrt, mrt, beta=1.0, beta_d=0.2), 876_000.0)
    assert 0.0 < mean <= 1.0
