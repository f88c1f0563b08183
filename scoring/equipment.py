"""Inputs and result of a redundancy calculation: failure rates, tests and repair, voted group, result in two parts.

These types are common to all redundancy methods.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, inf, prod

from scoring.limits import OutOfRange, within
from scoring.units import Fraction, Fractions, Hours, PerHour
from scoring.voting import Voting


@dataclass(frozen=True, slots=True)
class Rates:
    """Dangerous failure rates of one channel [1/h]: undetected and detected."""

    du: PerHour
    dd: PerHour

    def __post_init__(self) -> None:
        if not (0.0 <= self.du < inf and 0.0 <= self.dd < inf and self.du + self.dd > 0.0):
            raise OutOfRange("rates", (self.du, self.dd), "must be finite, none below 0 and not both 0")

    @property
    def d(self) -> PerHour:
        """Rate of all dangerous failures lambda_D [1/h]."""
        return self.du + self.dd

    @property
    def coverage(self) -> Fraction:
        """Diagnostic coverage lambda_DD / lambda_D."""
        return self.dd / self.d


@dataclass(frozen=True, slots=True)
class Upkeep:
    """Test and repair of a group [h]: proof-test interval T1, its coverage, overhaul interval T2, MRT and MTTR."""

    interval: Hours
    coverage: Fraction
    full_interval: Hours
    mrt: Hours
    mttr: Hours

    def __post_init__(self) -> None:
        within("proof-test coverage", self.coverage, 0.0, 1.0)
        for name in ("interval", "full_interval", "mrt", "mttr"):
            within(name, getattr(self, name), 0.0, 1e9)

    def undetected_down(self, order: int) -> Hours:
        """Mean down time of an undetected failure [h], PTC (T1/order + MRT) + (1 - PTC) (T2/order + MRT)."""
        found_by_test = self.coverage * (self.interval / order + self.mrt)
        return found_by_test + (1.0 - self.coverage) * (self.full_interval / order + self.mrt)


@dataclass(frozen=True, slots=True)
class VotedGroup:
    """A group as input to a redundancy method: voting, rates of each channel [1/h], tests and repair [h].

    ``acts_on_detected``: as soon as a failure is detected, the process is brought to a safe state or the repair begins.
    ``seed`` is for sampled methods: the same seed gives the same result. Raises OutOfRange where the number of
    channels is not N.
    """

    voting: Voting
    channels: tuple[Rates, ...]
    upkeep: Upkeep
    acts_on_detected: bool
    seed: int = 0

    def __post_init__(self) -> None:
        if len(self.channels) != self.voting.n:
            raise OutOfRange("channels", len(self.channels), f"{self.voting} has {self.voting.n}")

    @property
    def diverse(self) -> bool:
        """Whether the channels differ in their rates."""
        return any(channel != self.channels[0] for channel in self.channels)

    def voted(self, voting: Voting) -> VotedGroup:
        """The same equipment with another voting. If N changes, every channel has the representative rates."""
        channels = self.channels if voting.n == self.voting.n else (representative(self.channels),) * voting.n
        return VotedGroup(voting, channels, self.upkeep, self.acts_on_detected, self.seed)


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
    return Rates(fsum(device.du for device in devices), fsum(device.dd for device in devices))


def representative(channels: Sequence[Rates]) -> Rates:
    """Rates of one channel to calculate with: the geometric mean where the channels differ (approximation)."""
    first = channels[0]
    if all(channel == first for channel in channels):
        return first
    n = len(channels)
    return Rates(prod(c.du for c in channels) ** (1.0 / n), prod(c.dd for c in channels) ** (1.0 / n))
