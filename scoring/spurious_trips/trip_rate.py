"""Input and result of a spurious trip rate: the channels of a voted group, and the rate in its two parts."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import prod
from typing import Protocol

from scoring.limits import OutOfRange, within
from scoring.method import About
from scoring.units import HOURS_PER_YEAR, Fraction, Hours, PerHour
from scoring.voting import Voting

MOST = 0.1
"""lambda x MTTR of a channel above which the rare-event equations are out of their range (house rule)."""


@dataclass(frozen=True, slots=True)
class TripGroup:
    """A voted group as input to a trip convention.

    ``rates`` are the rates at which each channel calls for a trip without a demand [1/h]: its safe failures, and its detected
    dangerous ones where the group acts on them. ``mttr`` is the time such a channel stays tripped [h]. ``beta`` is the share of
    these failures with a common cause, for a pair of channels; None where no beta is known. Raises OutOfRange.
    """

    voting: Voting
    rates: tuple[PerHour, ...]
    mttr: Hours
    beta: Fraction | None

    def __post_init__(self) -> None:
        if len(self.rates) != self.voting.n:
            raise OutOfRange("channels", len(self.rates), f"{self.voting} has {self.voting.n}")
        for rate in self.rates:
            within("trip rate of a channel", rate, 0.0, 1.0)
        within("MTTR", self.mttr, 0.0, 1e9)
        if self.beta is not None:
            within("beta of safe failures", self.beta, 0.0, 1.0)

    @property
    def mean(self) -> PerHour:
        """The rate that stands for all channels: the geometric mean where they differ (approximation) [1/h]."""
        if all(rate == self.rates[0] for rate in self.rates):
            return self.rates[0]
        return prod(self.rates) ** (1.0 / len(self.rates))

    @property
    def in_range(self) -> bool:
        """Whether lambda x MTTR of every channel is small enough for the rare-event equations."""
        return max(self.rates) * self.mttr <= MOST

    def voted(self, voting: Voting) -> TripGroup:
        """The same equipment with another voting. If N changes, every channel has the mean rate."""
        rates = self.rates if voting.n == self.voting.n else (self.mean,) * voting.n
        return replace(self, voting=voting, rates=rates)


@dataclass(frozen=True, slots=True)
class TripRate:
    """Spurious trip rate of a group in its two parts [1/h]; ``common`` is None where no beta is known."""

    independent: PerHour
    common: PerHour | None

    @property
    def total(self) -> PerHour | None:
        """Both parts [1/h]; None where one of them is not known."""
        return None if self.common is None else self.independent + self.common

    @property
    def per_year(self) -> float | None:
        """Trips in a year of 8760 h."""
        return None if self.total is None else self.total * HOURS_PER_YEAR

    @property
    def common_share(self) -> Fraction | None:
        """Share of common cause in the rate; None where it is not known, or where there is no rate."""
        return self.common / self.total if self.common is not None and self.total else None


class TripConvention(Protocol):
    """From the trip rates of channels to that of a group."""

    @property
    def about(self) -> About:
        """Description of the convention."""
        ...

    def rate(self, group: TripGroup) -> TripRate:
        """The spurious trip rate of a group; raises VotingRefused for a voting without an equation."""
        ...


def coinciding(rates: tuple[PerHour, ...], *, failures: int, mttr: Hours) -> PerHour:
    """Rate at which ``failures`` channels come to be tripped at once [1/h], to the first order of lambda x MTTR.

    Each set of that many channels adds the product of its rates times MTTR^(failures - 1), once for each channel that may be
    the last; for like channels failures x C(N, failures) x lambda^failures x MTTR^(failures - 1).

    >>> coinciding((1e-6, 1e-6, 1e-6), failures=2, mttr=8.0)
    4.8e-11

    Source: derived; checked by a Markov chain.
    """
    sums = [1.0, *[0.0] * failures]  # elementary symmetric polynomials of the rates
    for rate in rates:
        for order in range(failures, 0, -1):
            sums[order] += sums[order - 1] * rate
    return failures * sums[failures] * mttr ** (failures - 1)
