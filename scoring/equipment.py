"""Inputs and result of a redundancy calculation: failure rates, tests and repair, voted group, result in two parts.

These types are common to all redundancy methods. A rate and what follows from it may be an array, one element for each sample.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import prod

from scoring.limits import OutOfRange, holds, is_rate, within
from scoring.numbers import alike, at_most, total
from scoring.testing import GroupTest
from scoring.units import Fraction, Fractions, Hours, Rate
from scoring.voting import Voting


@dataclass(frozen=True, slots=True)
class Rates:  # noqa: PLW1641  (the decorator makes the hash)
    """Failure rates of one channel [1/h]: dangerous undetected, dangerous detected, and safe detected (for 1oo2D)."""

    du: Rate
    dd: Rate
    sd: Rate = 0.0

    def __post_init__(self) -> None:
        if not (is_rate(self.du) and is_rate(self.dd) and holds(self.du + self.dd > 0.0)):
            raise OutOfRange("rates", (self.du, self.dd), "must be finite, none below 0 and not both 0")
        within("safe detected rate", self.sd, 0.0, 1e9)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Rates) and alike((self.du, self.dd, self.sd), (other.du, other.dd, other.sd))

    @property
    def d(self) -> Rate:
        """Rate of all dangerous failures lambda_D [1/h]."""
        return self.du + self.dd

    @property
    def coverage(self) -> Fractions:
        """Diagnostic coverage lambda_DD / lambda_D."""
        return self.dd / self.d


@dataclass(frozen=True, slots=True)
class Found:  # noqa: PLW1641  (the decorator makes the hash)
    """A share of the undetected failures that is found after the same interval [h].

    ``by_test`` False: no test finds it, and ``interval`` is the mission time, after which the equipment is replaced.
    """

    share: Fractions
    interval: Hours
    by_test: bool = True

    def __eq__(self, other: object) -> bool:
        fields = (self.share, self.interval, self.by_test)
        return isinstance(other, Found) and alike(fields, (other.share, other.interval, other.by_test))

    def __post_init__(self) -> None:
        within("share of undetected failures", self.share, 0.0, 1.0)
        within("interval", self.interval, 0.0, 1e9)


@dataclass(frozen=True, slots=True)
class Upkeep:
    """Test and repair of a channel: which share of its undetected failures is found when, MRT and MTTR [h]."""

    found: tuple[Found, ...]
    mrt: Hours
    mttr: Hours

    def __post_init__(self) -> None:
        shares = total(found.share for found in self.found)
        if not (holds(shares >= 1.0 - 1e-9) and holds(shares <= 1.0 + 1e-9)):
            raise OutOfRange("shares of undetected failures", shares, "must add up to 1")
        for name in ("mrt", "mttr"):
            within(name, getattr(self, name), 0.0, 1e9)

    @classmethod
    def proof_test(
        cls, *, interval: Hours, coverage: Fraction, full_interval: Hours, mrt: Hours, mttr: Hours
    ) -> Upkeep:
        """Upkeep with a proof test of interval T1 and coverage PTC, and an overhaul of interval T2 that finds the rest."""
        within("proof-test coverage", coverage, 0.0, 1.0)
        return cls((Found(coverage, interval), Found(1.0 - coverage, full_interval)), mrt, mttr)

    def undetected_down(self, order: int) -> Fractions:
        """Mean down time of an undetected failure [h]: sum of share (T/order + MRT), without MRT where no test finds it."""
        down: Fractions = 0.0
        for found in self.found:
            down = down + found.share * (found.interval / order + (self.mrt if found.by_test else 0.0))
        return down

    @property
    def longest(self) -> Hours:
        """The longest interval after which any failure is found [h]."""
        return max(found.interval for found in self.found if found.share > 0.0)


@dataclass(frozen=True, slots=True)
class Channel:
    """Devices in series that can do the work of the group alone: their rates together, and their tests and repair.

    ``elements`` are its redundant elements in words; in ``rates`` they count without their redundancy.
    """

    rates: Rates
    upkeep: Upkeep
    elements: tuple[str, ...] = ()

    def down_time(self, i: int) -> Fractions:
        """t_i, the mean down time of the i-th failure of a group if it is of this channel [h]."""
        undetected = self.rates.du / self.rates.d * self.upkeep.undetected_down(i + 1)
        return undetected + self.rates.dd / self.rates.d * self.upkeep.mttr

    def undetected(self, order: int) -> Fractions:
        """lambda_DU times the mean down time of an undetected failure [-]."""
        return self.rates.du * self.upkeep.undetected_down(order)


@dataclass(frozen=True, slots=True)
class VotedGroup:
    """A group as input to a redundancy method: voting, channels, and the tests with their time and errors.

    ``acts_on_detected``: as soon as a failure is detected, the process is brought to a safe state or the repair begins.
    ``switch`` is K of a 1oo2D group, the efficiency of the switch between its channels. ``seed`` is for sampled methods: the
    same seed gives the same result. Raises OutOfRange where the number of channels is not N, and for a 1oo2D group without
    K or with diverse channels.
    """

    voting: Voting
    channels: tuple[Channel, ...]
    acts_on_detected: bool
    switch: Fraction | None = None
    tests: tuple[GroupTest, ...] = ()
    seed: int = 0

    def __post_init__(self) -> None:
        if len(self.channels) != self.voting.n:
            raise OutOfRange("channels", len(self.channels), f"{self.voting} has {self.voting.n}")
        if self.voting.diagnostic:
            within("K", -1.0 if self.switch is None else self.switch, 0.0, 1.0)
            if self.diverse:
                raise OutOfRange("channels", len(self.channels), f"{self.voting} has like channels")

    @property
    def diverse(self) -> bool:
        """Whether the channels differ."""
        return any(channel != self.channels[0] for channel in self.channels)

    @property
    def mean(self) -> Channel:
        """The channel that stands for all: the geometric mean of the rates where the channels differ (approximation)."""
        return representative(self.channels)

    def voted(self, voting: Voting) -> VotedGroup:
        """The same equipment with another voting. If N changes, every channel has the representative rates."""
        channels = self.channels if voting.n == self.voting.n else (self.mean,) * voting.n
        return replace(self, voting=voting, channels=channels)


@dataclass(frozen=True, slots=True)
class Split:
    """A result in its two parts: coinciding independent failures, and failures by common cause."""

    independent: Fractions
    shared: Fractions

    @property
    def total(self) -> Fractions:
        """Both parts together."""
        return self.independent + self.shared


def in_series(devices: Sequence[Rates]) -> Rates:
    """Rates of a channel whose devices are in series: the failure of any device fails the channel."""
    return Rates(*(total(getattr(device, name) for device in devices) for name in ("du", "dd", "sd")))


def found_first(tests: Sequence[tuple[Hours, Fraction]]) -> list[tuple[int | None, Fraction]]:
    """The share of the undetected failures of one device that each test is the first to find, with the place of the test.

    ``tests`` are (interval [h], coverage). Sorted by interval, a test finds what its coverage adds to the best coverage before it;
    the place of a rest that no test finds is None.

    >>> found_first([(8760, 0.75), (730, 0.5)])
    [(1, 0.5), (0, 0.25), (None, 0.25)]
    """
    found: list[tuple[int | None, Fraction]] = []
    before = 0.0
    for place in sorted(range(len(tests)), key=tests.__getitem__):
        coverage = tests[place][1]
        if coverage > before:
            found.append((place, coverage - before))
            before = coverage
    return [*found, (None, 1.0 - before)] if before < 1.0 else found


def in_turn(tests: Sequence[tuple[Hours, Fraction]], mission: Hours | None) -> tuple[Found, ...]:
    """Which share of the undetected failures of one device is found when, from its tests as (interval [h], coverage).

    The rest that no test finds is found at the end of the mission [h]. Raises OutOfRange where there is one without a mission time.

    >>> [(found.share, found.interval) for found in in_turn([(8760, 0.75), (730, 0.5)], 87600)]
    [(0.5, 730), (0.25, 8760), (0.25, 87600)]
    """
    found = []
    for place, share in found_first(tests):
        if place is not None:
            found.append(Found(share, tests[place][0]))
        elif mission is not None:
            found.append(Found(share, mission, by_test=False))
        else:
            raise OutOfRange("mission time", "none", "is needed: no test finds every failure")
    return tuple(found)


def together(parts: Sequence[tuple[Fractions, tuple[Found, ...]]]) -> tuple[Found, ...]:
    """What is found when of several devices, each weighted with a number above 0 such as its lambda_DU."""
    whole = total(weight for weight, _ in parts)
    shares: dict[tuple[Hours, bool], Fractions] = {}
    for weight, found_of_device in parts:
        for found in found_of_device:
            key = (found.interval, found.by_test)
            shares[key] = shares.get(key, 0.0) + weight / whole * found.share
    return tuple(Found(at_most(shares[key], 1.0), *key) for key in sorted(shares))


def mean_rates(channels: Sequence[Rates]) -> Rates:
    """Geometric mean of the rates of channels; exactly those of one where all are alike."""
    if all(channel == channels[0] for channel in channels):
        return channels[0]
    n = len(channels)
    return Rates(*(prod(getattr(channel, name) for channel in channels) ** (1.0 / n) for name in ("du", "dd", "sd")))


def representative(channels: Sequence[Channel]) -> Channel:
    """One channel to calculate with: the geometric mean of the rates where the channels differ (approximation).

    What is found when is weighted with the lambda_DU of the channels.
    """
    first = channels[0]
    if all(channel == first for channel in channels):
        return first
    mean = mean_rates([channel.rates for channel in channels])
    upkeep = first.upkeep
    if any(channel.upkeep != upkeep for channel in channels):
        found = together([(channel.rates.du, channel.upkeep.found) for channel in channels])
        upkeep = replace(upkeep, found=found)
    return Channel(mean, upkeep)
