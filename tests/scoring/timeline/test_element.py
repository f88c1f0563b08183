"""Redundant elements inside a channel: closed forms, the Markov chain of ``markov``, and what must hold of any of them.

The house rule on what is shared with whom: of the failures of a device, beta of the group has all channels down, beta of the element
of the rest has the element down, and what is left has the device down alone. Confidence of all values here: derived.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import exp

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.linalg import expm

from scoring.limits import OutOfRange
from scoring.timeline.group import Device, Element, Group, Sought
from scoring.timeline.histories import history
from scoring.timeline.instants import Rhythm
from scoring.timeline.times import Times
from scoring.voting import SINGLE, Voting
from tests.scoring.timeline.given import mean_down, mean_failing
from tests.scoring.timeline.markov import Chain
from tests.scoring.timeline.test_histories import HISTORIES, _spans

YEAR = 8760.0
MISSION = 3 * YEAR
AGREED = 1e-9
STEP, LARGE_STEP = 6.0, 30.0
PAIR = Voting(1, 2)


def _device(rate: float, dd: float = 0.0, *, interval: float = YEAR, offset: float = 0.0) -> Device:
    return Device(rate, dd, (Sought(1.0, Rhythm(interval, offset)),))


def _of(*devices: Device, voting: Voting = PAIR, beta: float = 0.0, beta_d: float = 0.0) -> Element:
    return Element(voting, devices, beta, beta_d)


def test_one_channel_of_two_like_devices_is_the_closed_form_of_both_down() -> None:
    """Mean of (1 - e^-x)^2 over one interval, x = lambda T: 1 - 2 (1 - e^-x)/x + (1 - e^-2x)/(2x)."""
    rate, x = 4e-6, 4e-6 * YEAR
    group = Group(SINGLE, ((_of(*[_device(rate)] * 2),),), 0.0, 0.0)
    assert mean_down(group, MISSION) == pytest.approx(
        1 - 2 * (1 - exp(-x)) / x + (1 - exp(-2 * x)) / (2 * x), rel=AGREED
    )


def test_an_element_and_a_device_in_series_are_the_product_form() -> None:
    """1 - e^-mu t (1 - a(t)^2) with a = beta-free share down of each device, the shared ones e^-beta lambda t; by quadrature of scipy."""
    rate, other, beta = 5e-6, 1e-6, 0.1
    group = Group(SINGLE, ((_of(*[_device(rate)] * 2, beta=beta), _device(other)),), 0.0, 0.0)

    def down(t: float) -> float:
        both = (1 - exp(-(1 - beta) * rate * t)) ** 2
        return 1 - exp(-other * t) * exp(-beta * rate * t) * (1 - both)

    expected, _ = quad(down, 0.0, YEAR, epsabs=0.0, epsrel=1e-13)
    assert mean_down(group, MISSION) == pytest.approx(expected / YEAR, rel=AGREED)


def test_a_2oo3_element_in_both_channels_of_a_pair_is_the_product_form() -> None:
    """The channels share beta of the rate of one device; each is down when two of its three devices are."""
    rate, beta = 3e-6, 0.05
    element = _of(*[_device(rate)] * 3, voting=Voting(2, 3))
    group = Group(PAIR, ((element,),) * 2, 0.0, 0.0, beta=beta)

    def down(t: float) -> float:
        a = 1 - exp(-(1 - beta) * rate * t)
        return 1 - exp(-beta * rate * t) * (1 - (3 * a**2 - 2 * a**3) ** 2)

    expected, _ = quad(down, 0.0, YEAR, epsabs=0.0, epsrel=1e-13)
    assert mean_down(group, MISSION) == pytest.approx(expected / YEAR, rel=AGREED)


GROUPS = {
    "an element in series with a device": (
        Group(SINGLE, ((_of(*[_device(5e-6)] * 2, beta=0.1), _device(2e-6, 1e-6)),), 72.0, 24.0),
        STEP,
    ),
    "an element with detected failures": (
        Group(SINGLE, ((_of(*[_device(5e-6, 3e-6)] * 2, beta=0.1, beta_d=0.05),),), 72.0, 24.0),
        LARGE_STEP,
    ),
    "an element of unlike devices with unlike tests": (
        Group(SINGLE, ((_of(_device(5e-6), _device(2e-6, 4e-6, interval=2190.0)),),), 48.0, 96.0),
        STEP,
    ),
    "2oo3 inside a channel": (
        Group(SINGLE, ((_of(*[_device(5e-6)] * 3, voting=Voting(2, 3), beta=0.1),),), 72.0, 24.0),
        STEP,
    ),
    "a pair, one channel with an element": (
        Group(PAIR, ((_device(4e-6),), (_of(*[_device(5e-6)] * 2, beta=0.1),)), 72.0, 24.0, beta=0.08),
        LARGE_STEP,
    ),
    "a staggered pair, one channel with an element": (
        Group(
            PAIR,
            ((_device(4e-6),), (_of(*[_device(5e-6, offset=4380.0)] * 2, beta=0.1),)),
            72.0,
            24.0,
            beta=0.08,
        ),
        LARGE_STEP,
    ),
    "2oo2, an element in each channel": (
        Group(Voting(2, 2), ((_of(*[_device(5e-6)] * 2),), (_of(*[_device(3e-6)] * 2),)), 72.0, 24.0, beta=0.1),
        STEP,
    ),
}


@pytest.mark.parametrize(("group", "step"), GROUPS.values(), ids=GROUPS)
def test_the_mean_and_the_rate_of_failing_are_those_of_the_chain(group: Group, step: float) -> None:
    down, failing = Chain(group).means(MISSION, expm, step)
    assert mean_down(group, MISSION) == pytest.approx(down, rel=AGREED)
    assert mean_failing(group, MISSION, detected=True) == pytest.approx(failing, rel=AGREED)


def test_the_mean_is_that_of_many_histories() -> None:
    """Drawn: ((A and B) or C) and D, where A and B are the devices of an element, C is in series with it, and D is the other channel.

    Within four standard errors.
    """
    rng, repair = np.random.default_rng(11), 200.0
    rates, tests = (8e-5, 5e-5, 2e-5, 6e-5), ((YEAR, 0.0), (4380.0, 0.0), (YEAR, 0.0), (YEAR, 4380.0))
    a, b, c, d = (
        _device(rate, interval=interval, offset=at) for rate, (interval, at) in zip(rates, tests, strict=True)
    )
    group = Group(PAIR, ((_of(a, b), c), (d,)), repair, 0.0)
    instants = [Rhythm(*test).until(MISSION) for test in tests]

    def hours_down() -> float:
        drawn = [_spans(rng, rate, at, repair) for rate, at in zip(rates, instants, strict=True)]
        edges = sorted({0.0, MISSION, *(edge for spans in drawn for span in spans for edge in span)})
        hours = 0.0
        for begin, end in pairwise(edges):
            first, second, series, other = (any(x <= begin < y for x, y in spans) for spans in drawn)
            hours += (end - begin) * (((first and second) or series) and other)
        return hours

    found = np.array([hours_down() for _ in range(HISTORIES)]) / MISSION
    error = found.std() / np.sqrt(HISTORIES)
    assert abs(mean_down(group, MISSION) - found.mean()) < 4.0 * error
    assert error < 0.05 * found.mean()


RATES = st.floats(1e-8, 1e-5)
VOTINGS = st.sampled_from([SINGLE, PAIR, Voting(2, 2), Voting(2, 3)])
FRACTIONS = st.floats(0.0, 0.5)


@settings(max_examples=40, deadline=None)
@given(VOTINGS, RATES, RATES, FRACTIONS, st.sampled_from([0.0, 8.0, 500.0]))
def test_an_element_of_one_device_is_the_device(
    voting: Voting, du: float, dd: float, beta: float, repair: float
) -> None:
    channels = [(_device(du, dd, offset=1000.0 * place), _device(du / 3.0)) for place in range(voting.n)]
    plain = Group(voting, tuple(channels), repair, 24.0, beta, beta / 2.0)
    of_one = replace(plain, channels=tuple((_of(first, voting=SINGLE), other) for first, other in channels))
    assert mean_down(of_one, MISSION) == pytest.approx(mean_down(plain, MISSION), rel=1e-12)
    assert mean_failing(of_one, MISSION) == pytest.approx(mean_failing(plain, MISSION), rel=1e-12)


@settings(max_examples=40, deadline=None)
@given(VOTINGS, RATES, RATES, FRACTIONS, FRACTIONS, st.integers(2, 4))
def test_more_devices_of_which_one_is_enough_are_never_worse_than_one(
    voting: Voting, du: float, dd: float, beta: float, inside: float, count: int
) -> None:
    device = _device(du, dd)
    plain = Group(voting, ((device,),) * voting.n, 24.0, 24.0, beta, beta)
    element = _of(*[device] * count, voting=Voting(1, count), beta=inside, beta_d=inside)
    redundant = replace(plain, channels=((element,),) * voting.n)
    assert mean_down(redundant, MISSION) <= mean_down(plain, MISSION) * (1 + 1e-9)


@settings(max_examples=20, deadline=None)
@given(RATES, FRACTIONS)
def test_devices_that_share_everything_are_one_device(du: float, beta: float) -> None:
    plain = Group(PAIR, ((_device(du, du),),) * 2, 24.0, 24.0, beta, beta)
    redundant = replace(
        plain, channels=((_of(*[_device(du, du)] * 3, voting=Voting(1, 3), beta=1.0, beta_d=1.0),),) * 2
    )
    assert mean_down(redundant, MISSION) == pytest.approx(mean_down(plain, MISSION), rel=1e-9)


def test_all_of_n_devices_are_the_devices_in_series() -> None:
    """In a single channel, which shares nothing with others."""
    devices = (_device(3e-6, 1e-6), _device(1e-6, interval=2190.0))
    element = Group(SINGLE, ((_of(*devices, voting=Voting(2, 2)),),), 24.0, 24.0)
    assert mean_down(element, MISSION) == pytest.approx(
        mean_down(replace(element, channels=(devices,)), MISSION), rel=1e-12
    )


def test_many_failures_for_one_group_are_averaged_exactly() -> None:
    """1oo3 of 1oo3: nine failures, a^9 between two tests, a = 1 - e^-lambda t, over the mean that scipy finds."""
    rate = 4e-5
    element = _of(*[_device(rate)] * 3, voting=Voting(1, 3))
    group = Group(Voting(1, 3), ((element,),) * 3, 0.0, 0.0)
    expected, _ = quad(lambda t: (1 - exp(-rate * t)) ** 9, 0.0, YEAR, epsabs=0.0, epsrel=1e-13)
    assert mean_down(group, MISSION) == pytest.approx(expected / YEAR, rel=AGREED)


def test_rates_as_arrays_are_each_group_by_itself() -> None:
    rates, betas = np.array([1e-6, 5e-6]), np.array([0.02, 0.2])
    at = Times.single(np.linspace(0.0, MISSION, 301))

    def group(rate: object, beta: object) -> Group:
        device = Device(rate, 0.0, (Sought(1.0, Rhythm(YEAR)),))  # type: ignore[arg-type]
        return Group(PAIR, ((_of(device, device, beta=0.1),),) * 2, 24.0, 24.0, beta, beta)  # type: ignore[arg-type]

    together = history(group(rates, betas), MISSION).down(at)
    for place in range(2):
        alone = history(group(float(rates[place]), float(betas[place])), MISSION).down(at)
        assert together[:, place] == pytest.approx(alone[:, 0], rel=1e-12)


def test_one_group_with_everything_in_common_changes_no_other_that_is_calculated_with_it() -> None:
    """A beta of 1 leaves an element nothing to fail by itself; the tests of its devices differ."""
    element = _of(_device(5e-6), _device(2e-6, interval=2190.0), beta=0.1)
    at = Times.single(np.linspace(0.0, MISSION, 301))

    def down(beta: object) -> np.ndarray:
        return history(Group(PAIR, ((element,),) * 2, 24.0, 24.0, beta, beta), MISSION).down(at)  # type: ignore[arg-type]

    together = down(np.array([0.02, 1.0]))
    assert together[:, 0] == pytest.approx(down(0.02)[:, 0], rel=1e-12)
    assert together[:, 1] == pytest.approx(down(1.0)[:, 0], rel=1e-12)


def test_1oo2d_has_no_form_for_an_element() -> None:
    group = Group(Voting(1, 2, diagnostic=True), ((_of(*[_device(1e-6)] * 2),),) * 2, 24.0, 24.0, switch=0.9)
    with pytest.raises(OutOfRange, match="no form"):
        history(group, MISSION)
