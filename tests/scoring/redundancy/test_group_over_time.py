"""The method ``timeline``: its parts add up to the mean of the group, and it refuses a group without the clock of its tests.

Source: the mean itself, which is compared with closed forms and a Markov chain in ``tests/scoring/timeline``. Confidence: derived.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from scoring.equipment import Channel, Rates, Upkeep, VotedGroup
from scoring.redundancy.group_over_time import GroupOverTime, Timeline
from scoring.testing import GroupTest
from scoring.timeline import means
from scoring.timeline.group import Error, Group, InTest
from scoring.timeline.instants import Rhythm
from scoring.voting import SINGLE, Voting
from tests.scoring.timeline.given import YEAR, one_device
from tests.scoring.timeline.test_below import MISSION, groups

UPKEEP = Upkeep.proof_test(interval=YEAR, coverage=1.0, full_interval=YEAR, mrt=24, mttr=8)


def _over_time(timeline: Group, *rates: float) -> GroupOverTime:
    """The group with channels of these rates [1/h], tested every year; its tests are said to have a time or errors."""
    listed = rates or (1e-6,) * timeline.voting.n
    channels = tuple(Channel(Rates(rate, 0.0), UPKEEP) for rate in listed)
    tests = (GroupTest(YEAR, 1.0, 1, 0.01),)
    switch = 0.9 if timeline.voting.diagnostic else None
    return GroupOverTime(timeline.voting, channels, True, switch, tests, timeline=timeline, mission=MISSION)  # noqa: FBT003


@settings(max_examples=40, deadline=None)
@given(groups())
def test_the_parts_add_up_to_the_mean_of_the_group(group: Group) -> None:
    built = _over_time(group)
    for measure in ("pfd", "pfh"):
        split = Timeline().result(measure, built, beta=float(group.beta), beta_d=float(group.beta_d))
        terms = Timeline().test_terms(measure, built)
        mean = (
            means.mean_down(group, MISSION) if measure == "pfd" else means.mean_failing(group, MISSION, detected=False)
        )
        assert float(split.total) + terms.total == pytest.approx(float(mean[0]), rel=1e-9)
        if measure == "pfd":
            assert min(float(split.independent), float(split.shared), terms.time_in_test, terms.test_error) >= 0.0


def test_without_beta_nothing_is_shared() -> None:
    group = _over_time(Group(Voting(1, 2), (one_device(1e-6),) * 2, 24.0, 8.0))
    for measure in ("pfd", "pfh"):
        split = Timeline().result(measure, group, beta=np.array([0.0, 0.1]), beta_d=np.array([0.0, 0.1]))
        assert split.shared[0] == 0.0 < split.shared[1]  # type: ignore[index]


def test_another_number_of_channels_is_tested_on_one_day_one_after_the_other() -> None:
    staggered = tuple(one_device(1e-6, offset=offset) for offset in (0.0, YEAR / 2.0))
    windows = tuple(InTest(Rhythm(YEAR, offset), 12.0, at) for at, offset in enumerate((0.0, YEAR / 2.0)))
    errors = (Error((Rhythm(YEAR), Rhythm(YEAR, YEAR / 2.0)), 0.01),)
    group = _over_time(Group(Voting(1, 2), staggered, 24.0, 8.0, in_test=windows, errors=errors))
    three = group.voted(Voting(2, 3)).with_betas(0.0, 0.0)
    assert three.channels == (one_device(1e-6),) * 3
    assert three.in_test == tuple(InTest(Rhythm(YEAR), 12.0, at, at * 12.0) for at in range(3))
    assert three.errors == (Error((Rhythm(YEAR),), 0.01),)
    one = group.voted(SINGLE).with_betas(0.0, 0.0)
    assert (one.channels, one.in_test) == ((one_device(1e-6),), (InTest(Rhythm(YEAR), 12.0, None),))
    both = group.voted(Voting(2, 2)).with_betas(0.0, 0.0)
    assert (both.channels, both.in_test, both.voting) == (staggered, windows, Voting(2, 2))


def test_a_group_without_the_clock_of_its_tests_is_refused() -> None:
    plain = VotedGroup(SINGLE, (Channel(Rates(1e-6, 0.0), UPKEEP),), acts_on_detected=True)
    with pytest.raises(TypeError, match="the clock of each test"):
        Timeline().result("pfd", plain, beta=0.0, beta_d=0.0)
    empty = replace(_over_time(Group(SINGLE, (one_device(1e-6),), 0.0, 0.0)), timeline=None)
    with pytest.raises(TypeError, match="without its timeline"):
        Timeline().result("pfd", empty, beta=0.0, beta_d=0.0)


def test_what_goes_in_and_what_comes_out_is_printed() -> None:
    unlike = Group(Voting(1, 2), (one_device(1e-6), one_device(4e-6, offset=4380.0)), 24.0, 8.0)
    group = _over_time(unlike, 1e-6, 4e-6)
    lines = Timeline().worked("pfd", group, beta=0.1, beta_d=0.05)
    split = Timeline().result("pfd", group, beta=0.1, beta_d=0.05)
    assert "undetected, of one channel alone = 0.9 x 4e-06 = 3.6e-06/h" in lines
    assert "1 of the undetected ones is found every 8760 h, first after 4380 h" in lines
    assert lines[-2].endswith(f"= {float(split.independent):.4g}")
    assert lines[-1].endswith(f"= {float(split.shared):.4g}")
    assert "geometric mean" in Timeline().remarks(group)[0]
    assert Timeline().remarks(_over_time(Group(SINGLE, (one_device(1e-6),), 0.0, 0.0))) == ()
