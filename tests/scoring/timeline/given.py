"""Groups of one device in each channel, and their mean by the timeline."""

from __future__ import annotations

from collections.abc import Sequence

from scoring.timeline import means
from scoring.timeline.group import Device, Group, Sought
from scoring.timeline.instants import Rhythm
from scoring.voting import Voting

YEAR = 8760.0


def one_device(rate: float, *, dd: float = 0.0, interval: float = YEAR, offset: float = 0.0) -> tuple[Device]:
    """A channel of one device with these rates [1/h], all of whose failures one test finds [h]."""
    return (Device(rate, dd, (Sought(1.0, Rhythm(interval, offset)),)),)


def like(voting: Voting, rate: float, *, staggered: bool = False, beta: float = 0.0, repair: float = 0.0) -> Group:
    """Like channels, tested every year: on one day, or spread evenly over the year."""
    channels: Sequence[tuple[Device]] = (one_device(rate),) * voting.n
    if staggered:
        channels = tuple(one_device(rate, offset=YEAR * place / voting.n) for place in range(voting.n))
    return Group(voting, tuple(channels), repair, 0.0, beta, beta)


def mean_down(group: Group, mission: float) -> float:
    """Mean probability of being down over a mission [h]."""
    return float(means.mean_down(group, mission)[0])


def mean_failing(group: Group, mission: float, *, detected: bool = False) -> float:
    """Mean rate of failing over a mission [1/h]."""
    return float(means.mean_failing(group, mission, detected=detected)[0])
