"""Against a Markov chain of the whole group with one phase between two tests, stepped through the mission.

See ``markov``. Steps of a few hours, since a matrix exponential over a whole stiff phase is itself only good to about 1e-9.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from scipy.linalg import expm

from scoring.timeline.group import Device, Error, Group, InTest, Sought
from scoring.timeline.instants import Rhythm
from scoring.voting import Voting
from tests.scoring.timeline.given import mean_down, mean_failing
from tests.scoring.timeline.markov import Chain

STEP = 6.0
"""Step of the chain [h]; all instants of the tests are multiples of it."""
LARGE_STEP = 30.0
"""Step of a chain of hundreds of states [h]."""
MISSION = 3 * 8760.0
AGREED = 1e-9


def _device(rate: float, dd: float, *sought: tuple[float, float, float]) -> tuple[Device]:
    """One device: rates [1/h], and for each test its share, interval and offset [h]."""
    return (Device(rate, dd, tuple(Sought(share, Rhythm(interval, offset)) for share, interval, offset in sought)),)


YEAR = 8760.0
GROUPS = {
    "1oo1 with repair": Group(Voting(1, 1), (_device(2e-6, 1e-6, (1.0, YEAR, 0.0)),), 24.0, 48.0),
    "1oo2 with all": Group(
        Voting(1, 2), (_device(5e-6, 2e-6, (1.0, 2190.0, 0.0)),) * 2, 72.0, 24.0, beta=0.1, beta_d=0.05
    ),
    "1oo2 staggered": Group(
        Voting(1, 2), tuple(_device(5e-6, 0.0, (1.0, YEAR, offset)) for offset in (0.0, 4380.0)), 72.0, 24.0, beta=0.1
    ),
    "2oo2 has nothing in common": Group(
        Voting(2, 2), (_device(5e-6, 1e-6, (1.0, YEAR, 0.0)),) * 2, 72.0, 24.0, beta=0.1, beta_d=0.1
    ),
    "2oo3 staggered": Group(
        Voting(2, 3),
        tuple(_device(5e-6, 0.0, (1.0, YEAR, offset)) for offset in (0.0, 2922.0, 5844.0)),
        48.0,
        24.0,
        0.08,
    ),
    "2oo3 staggered, others checked": Group(
        Voting(2, 3),
        tuple(_device(5e-6, 0.0, (1.0, YEAR, offset)) for offset in (0.0, 2922.0, 5844.0)),
        48.0,
        24.0,
        beta=0.08,
        check_others=True,
    ),
    "1oo2 unlike": Group(
        Voting(1, 2),
        (_device(5e-6, 1e-6, (1.0, YEAR, 0.0)), _device(2e-6, 4e-6, (1.0, YEAR, 4380.0))),
        48.0,
        96.0,
        beta=0.08,
        beta_d=0.03,
    ),
    "1oo2 with partial tests": Group(
        Voting(1, 2), (_device(5e-6, 0.0, (0.6, 2190.0, 0.0), (0.4, YEAR, 0.0)),) * 2, 48.0, 24.0, beta=0.1
    ),
    "1oo2 with unlike tests": Group(
        Voting(1, 2),
        (_device(5e-6, 0.0, (0.6, 720.0, 0.0), (0.4, YEAR, 0.0)), _device(5e-6, 0.0, (1.0, 2190.0, 0.0))),
        48.0,
        24.0,
        beta=0.1,
    ),
    "1oo1 first tested late": Group(Voting(1, 1), (_device(2e-6, 0.0, (1.0, YEAR, 2190.0)),), 24.0, 24.0),
    "1oo1 in slow repair": Group(Voting(1, 1), (_device(2e-4, 1e-4, (1.0, 720.0, 0.0)),), 480.0, 240.0),
}


@pytest.mark.parametrize("name", GROUPS)
def test_the_mean_and_the_rate_of_failing_are_those_of_the_chain(name: str) -> None:
    group = GROUPS[name]
    down, failing = Chain(group).means(MISSION, expm, LARGE_STEP if name == "1oo2 with partial tests" else STEP)
    assert mean_down(group, MISSION) == pytest.approx(down, rel=AGREED)
    assert mean_failing(group, MISSION, detected=True) == pytest.approx(failing, rel=AGREED)


STAGGERED = tuple(_device(5e-6, 0.0, (1.0, YEAR, offset)) for offset in (0.0, 4380.0))
FIRST, SECOND = (channel[0].sought[0].test for channel in STAGGERED)
assert FIRST is not None
assert SECOND is not None
IN_TEST = {
    "1oo2, the group is in test": Group(
        Voting(1, 2), STAGGERED, 48.0, 24.0, 0.1, in_test=(InTest(FIRST, 12.0, None), InTest(SECOND, 12.0, None))
    ),
    "1oo2, one channel after the other": Group(
        Voting(1, 2),
        (_device(5e-6, 1e-6, (1.0, YEAR, 0.0)),) * 2,
        48.0,
        24.0,
        0.1,
        0.05,
        in_test=(InTest(Rhythm(YEAR), 600.0, 0), InTest(Rhythm(YEAR), 600.0, 1, delay=600.0)),
    ),
    "2oo3, staggered, one channel in test": Group(
        Voting(2, 3),
        tuple(_device(5e-6, 0.0, (1.0, YEAR, offset)) for offset in (0.0, 2922.0, 5844.0)),
        48.0,
        24.0,
        0.08,
        in_test=tuple(InTest(Rhythm(YEAR, offset), 240.0, place) for place, offset in enumerate((0.0, 2922.0, 5844.0))),
    ),
    "1oo2D": Group(
        Voting(1, 2, diagnostic=True),
        tuple((replace(device, dd=2e-5, sd=1e-5),) for (device,) in STAGGERED),
        48.0,
        24.0,
        0.05,
        0.02,
        switch=0.9,
        in_test=(InTest(FIRST, 12.0, 0),),
    ),
}


@pytest.mark.parametrize("group", IN_TEST.values(), ids=IN_TEST)
def test_time_in_test_and_1oo2d_are_those_of_the_chain(group: Group) -> None:
    down, failing = Chain(group).means(MISSION, expm, STEP)
    assert mean_down(group, MISSION) == pytest.approx(down, rel=AGREED)
    assert mean_failing(group, MISSION, detected=True) == pytest.approx(failing, rel=AGREED)


def test_a_test_error_lasts_until_the_next_test() -> None:
    """The chain draws at each test whether it leaves the group failed. Its rate has no failures at an instant: they are counted here.

    Each time between two tests begins with one, and the group is seldom failed already.
    """
    group = Group(Voting(1, 2), STAGGERED, 48.0, 24.0, 0.1, errors=(Error((FIRST, SECOND), 0.004),))
    down, _ = Chain(group).means(MISSION, expm, STEP)
    assert mean_down(group, MISSION) == pytest.approx(down, rel=AGREED)
    without = mean_failing(replace(group, errors=()), MISSION)
    added = mean_failing(group, MISSION) - without * (1.0 - 0.004)
    tests = (MISSION - 4380.0) / 4380.0
    assert added == pytest.approx(0.004 * tests / MISSION, rel=0.02)
