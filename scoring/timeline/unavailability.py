"""From a voted group to its unavailability at a time and the rate at which it fails."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial, reduce
from math import prod

import numpy as np

from scoring.timeline.failures import Detected, Undetected
from scoring.timeline.group import Device, Group
from scoring.timeline.instants import Rhythm, search
from scoring.timeline.times import Times
from scoring.units import Array, Fractions, Hours

SAME = 1e-12
"""Difference of two shares of failures that is rounding only."""


def either(first: Array, second: Array) -> Array:
    """Probability of at least one of two independent events, without a loss of digits for small ones."""
    both = first * second
    result = first + second
    result -= both
    return result


def at_least(failures: int, downs: Sequence[Array]) -> Array:
    """Probability that at least so many of independent channels are down.

    With one more channel, at least j are down if it is down and j - 1 others are, or if j others are.
    """
    reached: list[Array | float] = [1.0, *[0.0] * failures]
    for place, down in enumerate(downs, start=1):
        for count in range(min(failures, place), 0, -1):
            more = reached[count - 1] - reached[count] if count < place else reached[count - 1]
            reached[count] = reached[count] + down * more
    return np.asarray(reached[failures])


def _rows(rate: Fractions) -> Array:
    return np.atleast_1d(np.asarray(rate, float))


class History:
    """The probability of a group to be down, from time 0, when everything is new, to ``end`` [h].

    Every method takes times [h] and gives one row for each time and one column for each group.
    """

    def __init__(self, group: Group, end: Hours) -> None:
        self.group, self.end = group, end
        redundant = group.voting.redundant
        self._beta, self._beta_d = (group.beta, group.beta_d) if redundant else (0.0, 0.0)
        built = {id(channel): self._channel(channel) for channel in group.channels}
        self._channels = [built[id(channel)] for channel in group.channels]
        self._shared = list(self._shared_components()) if redundant else []

    def down(self, at: Times) -> Array:
        """Probability of being down by whatever cause."""
        shared = self.shared(at)
        independent = self.independent(at)
        return independent if shared is None else either(independent, shared)

    def independent(self, at: Times) -> Array:
        """Probability of being down by failures that coincide."""
        return self._too_many(self._of_channels(at, _series_down))

    def _too_many(self, downs: Sequence[Array]) -> Array:
        return at_least(self.group.voting.tolerance + 1, downs)

    def shared(self, at: Times) -> Array | None:
        """Probability of being down by a shared cause; None where nothing is shared."""
        downs = [component.down(at) for component in self._shared]
        return reduce(either, downs) if downs else None

    def failing(self, at: Times, *, detected: bool) -> Array:
        """Rate [1/h] at which the group goes down; ``detected``: whether a detected failure counts as the last one."""
        series_failing = partial(_series_failing, detected=detected)
        downs, rates = self._of_channels(at, _series_down), self._of_channels(at, series_failing)
        needed = self.group.voting.tolerance
        rate: Array | float = 0.0
        for place, channel_rate in enumerate(rates):
            others = [down for other, down in enumerate(downs) if other != place]
            exactly = at_least(needed, others) - at_least(needed + 1, others)
            rate = rate + channel_rate * exactly
        shared = self.shared(at)
        if shared is None:
            return np.asarray(rate)
        return rate * (1.0 - shared) + series_failing(self._shared, at) * (1.0 - self._too_many(downs))

    def _of_channels(self, at: Times, evaluated: Callable[[Sequence[Component], Times], Array]) -> list[Array]:
        """Something evaluated for each channel, once for like channels."""
        distinct = {id(channel): channel for channel in self._channels}
        values = {key: evaluated(channel, at) for key, channel in distinct.items()}
        return [values[id(channel)] for channel in self._channels]

    def _channel(self, devices: Sequence[Device]) -> list[Component]:
        """What can have a channel down without the others: 1 - beta of each failure rate of its devices."""
        components: list[Component] = []
        for device in devices:
            for sought in device.sought:
                rate = _rows((1.0 - self._beta) * device.du * sought.share)
                components.append(Undetected(rate, search((sought.test,), 1, self.end), self.group.repair))
            components.append(Detected(_rows((1.0 - self._beta_d) * device.dd), self.group.restoration))
        return components

    def _shared_components(self) -> Iterator[Component]:
        """What can have all channels down at once: beta of the geometric mean of their rates.

        A shared undetected failure belongs, in each channel, to the test that finds failures as hard to find as it: the shares of
        the channels are laid side by side, each sorted by interval.
        """
        channels = [_sums(channel) for channel in self.group.channels]
        du, dd = (prod(rates) ** (1.0 / len(channels)) for rates in zip(*(sums[:2] for sums in channels), strict=True))
        needed = 1 if self.group.check_others else self.group.voting.m
        for share, tests in _side_by_side([sums[2] for sums in channels]):
            rate = _rows(self._beta * du * share)
            yield Undetected(rate, search(tuple(tests), needed, self.end), self.group.repair)
        yield Detected(_rows(self._beta_d * dd), self.group.restoration)


Component = Undetected | Detected


def _series_down(components: Iterable[Component], at: Times) -> Array:
    return reduce(either, (component.down(at) for component in components))


def _series_failing(components: Sequence[Component], at: Times, *, detected: bool) -> Array:
    """Rate at which components in series go down while all of them are up."""
    downs = [component.down(at) for component in components]
    total: Array | float = 0.0
    for place, component in enumerate(components):
        if isinstance(component, Detected) and not detected:
            continue
        others = (1.0 - down for other, down in enumerate(downs) if other != place)
        total = total + reduce(np.multiply, others, component.failing(downs[place]))
    return np.asarray(total)


Weighted = list[tuple[Fractions, Rhythm | None]]
"""Shares of the undetected failures of a channel with the tests that find them, the most frequent test first."""


def _sums(channel: Sequence[Device]) -> tuple[Fractions, Fractions, Weighted]:
    """Rates [1/h] of a channel, undetected and detected, and which share of the undetected is found by which test."""
    found = [(device.du * sought.share, sought.test) for device in channel for sought in device.sought]
    total, dd = sum(rate for rate, _ in found), sum(device.dd for device in channel)
    shares = [(rate / total if np.all(total) else 1.0 / len(found), test) for rate, test in found]
    return total, dd, sorted(shares, key=lambda share: share[1].interval if share[1] else np.inf)


def _side_by_side(channels: list[Weighted]) -> Iterator[tuple[Fractions, list[Rhythm | None]]]:
    """Shares of a shared failure with the test that finds it in each channel.

    Channels with like shares are paired one by one; others are laid side by side from the share that is found first, with the means
    of their shares where several groups are calculated together.
    """
    shares = [[share for share, _ in channel] for channel in channels]
    if all(len(one) == len(shares[0]) and all(map(np.allclose, one, shares[0])) for one in shares):
        for together in zip(*channels, strict=True):
            yield together[0][0], [test for _, test in together]
        return
    ends = [np.cumsum([float(np.mean(share)) for share in one]) for one in shares]
    cuts = np.unique(np.round(np.concatenate(ends), 12))
    for low, high in zip([0.0, *cuts], cuts, strict=False):
        if high - low > SAME:
            places = [min(int(np.searchsorted(end, (low + high) / 2.0)), len(end) - 1) for end in ends]
            yield high - low, [channel[place][1] for channel, place in zip(channels, places, strict=True)]
