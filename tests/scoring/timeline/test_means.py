"""Many groups at once are each of them alone."""

from __future__ import annotations

import numpy as np
import pytest

from scoring.timeline import means
from scoring.timeline.group import Device, Group, Sought
from scoring.timeline.instants import Rhythm
from scoring.voting import Voting

MISSION = 131_400.0
COUNT = means.BLOCK + 7


def _groups(rates: np.ndarray, beta: np.ndarray) -> Group:
    """2oo3 of unlike channels, two classes of tests, staggered; the rate of each channel is another multiple of ``rates``."""
    channels = []
    for place, times in enumerate((1.0, 0.5, 2.0)):
        tests = (Sought(0.6, Rhythm(2190.0, 730.0 * place)), Sought(0.4, Rhythm(8760.0, 2920.0 * place)))
        channels.append((Device(rates * times, rates, tests),))
    return Group(Voting(2, 3), tuple(channels), 24.0, 48.0, beta, beta / 2.0)


def test_thousands_of_groups_are_each_of_them_alone() -> None:
    """More than one block, so that the last one is short."""
    rates, beta = np.geomspace(1e-8, 2e-6, COUNT), np.linspace(0.0, 0.3, COUNT)
    together = _groups(rates, beta)
    down, failing = means.mean_down(together, MISSION), means.mean_failing(together, MISSION, detected=True)
    assert down.shape == failing.shape == (COUNT,)
    for at in (0, means.BLOCK - 1, means.BLOCK, COUNT - 1):
        alone = _groups(rates[at : at + 1], beta[at : at + 1])
        assert down[at] == pytest.approx(means.mean_down(alone, MISSION)[0], rel=1e-9)
        assert failing[at] == pytest.approx(means.mean_failing(alone, MISSION, detected=True)[0], rel=1e-9)


def test_one_beta_for_all_groups_is_that_beta_for_each() -> None:
    rates = np.geomspace(1e-8, 2e-6, COUNT)
    one, each = (means.mean_down(_groups(rates, beta), MISSION) for beta in (np.array([0.1]), np.full(COUNT, 0.1)))
    assert one == pytest.approx(each, rel=1e-12)
