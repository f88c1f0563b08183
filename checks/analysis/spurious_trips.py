"""Spurious trips of groups and functions by both conventions, with the part of common cause, as built and with other voting.

Every group of a function trips it, alternatives too: the rates of the groups add up. A rate that is not known is never 0.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum

from checks.assessment.assessment import Assessment
from checks.plantfile.equipment import Device, Group
from scoring.spurious_trips.conventions import CONVENTIONS
from scoring.spurious_trips.trip_rate import TripConvention, TripGroup, TripRate
from scoring.units import HOURS_PER_YEAR, PerHour, per_hour
from scoring.voting import Voting, VotingRefused

NO_STATED_RATE = "its result is stated, a spurious trip rate is not"


@dataclass(frozen=True, slots=True)
class Trips:
    """Spurious trip rate of a group by one convention; ``missing`` says why it or its common-cause part is not known."""

    convention: str
    rate: TripRate | None
    missing: str = ""

    @property
    def per_year(self) -> float | None:
        """Trips a year; None where it is not known."""
        return None if self.rate is None else self.rate.per_year

    @property
    def common_per_year(self) -> float | None:
        """Trips a year by common cause; None where they are not known."""
        common = None if self.rate is None else self.rate.common
        return None if common is None else common * HOURS_PER_YEAR


@dataclass(frozen=True, slots=True)
class GroupTrips:
    """Spurious trips of one group as a function votes it, by each convention in the order of ``CONVENTIONS``.

    ``channel`` is the rate of its first channel [1/h], ``beta`` that of safe failures; None where they are not known. ``remark``
    says where the rare-event equations are out of their range.
    """

    id: str
    arrangement: str
    channel: PerHour | None
    beta: float | None
    trips: tuple[Trips, ...]
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Total:
    """Trips a year of a function by one convention: of the groups whose rate is known, and whether that is every group."""

    convention: str
    known: float
    common: float
    complete: bool

    @property
    def per_year(self) -> float | None:
        """Trips a year; None where the rate of a group is not known."""
        return self.known if self.complete else None

    @property
    def common_share(self) -> float | None:
        """Share of common cause in what is known; None without any."""
        return self.common / self.known if self.known else None


@dataclass(frozen=True, slots=True)
class FunctionTrips:
    """Spurious trips of a function: its groups, and their sums by each convention."""

    id: str
    groups: tuple[GroupTrips, ...]
    totals: tuple[Total, ...]

    @property
    def missing(self) -> tuple[str, ...]:
        """What is not known, with the group that it is of; each once."""
        found = (f"{group.id}: {trips.missing}" for group in self.groups for trips in group.trips if trips.missing)
        return tuple(dict.fromkeys(found))


def of_function(assessment: Assessment, key: str) -> FunctionTrips:
    """Spurious trips of a function, with its groups as it votes them."""
    groups = tuple(of_group(assessment, group.id, group.voting) for group in assessment.function(key).groups)
    totals = tuple(
        _total(convention, [group.trips[at] for group in groups]) for at, convention in enumerate(CONVENTIONS)
    )
    return FunctionTrips(key, groups, totals)


def _total(convention: TripConvention, trips: Iterable[Trips]) -> Total:
    every = tuple(trips)
    known = [(part.per_year, part.common_per_year or 0.0) for part in every if part.per_year is not None]
    values, common = ([pair[at] for pair in known] for at in (0, 1))
    return Total(convention.about.id, fsum(filter(None, values)), fsum(filter(None, common)), len(known) == len(every))


def of_group(assessment: Assessment, key: str, voting: Voting | None = None) -> GroupTrips:
    """Spurious trips of a group with its own or another voting. If N changes, every channel has the mean rate."""
    group = assessment.plant.groups[key]
    arrangement = str(voting or group.voted) if group.stated_result is None else group.arrangement
    reason = _not_known(assessment, group)
    if reason:
        unknown = tuple(Trips(convention.about.id, None, reason) for convention in CONVENTIONS)
        return GroupTrips(key, arrangement, None, None, unknown)
    built = TripGroup(group.voted, _rates(assessment, group), group.mttr_h or 0.0, _beta(assessment, key))
    as_voted = built.voted(voting or group.voted)
    remark = (
        "" if built.in_range else f"{key}: rate x MTTR of a channel is above 0.1, so the rate is only an upper bound"
    )
    trips = tuple(_by(convention, as_voted) for convention in CONVENTIONS)
    return GroupTrips(key, arrangement, built.rates[0], built.beta, trips, remark)


def _by(convention: TripConvention, group: TripGroup) -> Trips:
    try:
        rate = convention.rate(group)
    except VotingRefused as refused:
        return Trips(convention.about.id, None, str(refused))
    missing = (
        ""
        if rate.common is not None
        else f"no beta is known for {group.voting}, so its common-cause part is not either"
    )
    return Trips(convention.about.id, rate, missing)


def _not_known(assessment: Assessment, group: Group) -> str:
    """Why a group has no trip rate; empty where it has one."""
    if group.stated_result is not None:
        return NO_STATED_RATE
    names = dict.fromkeys(name for channel in group.channels for name in channel)
    without = [name for name in names if assessment.plant.devices[name].lambda_s_fit is None]
    return f"no lambda_s_fit of {', '.join(without)}" if without else ""


def _rates(assessment: Assessment, group: Group) -> tuple[PerHour, ...]:
    """The rate at which each channel calls for a trip [1/h]: any of its devices in series does."""

    def fit(device: Device) -> float:
        return (device.lambda_s_fit or 0.0) + (device.lambda_dd_fit if group.acts_on_detected else 0.0)

    devices = assessment.plant.devices
    return tuple(fsum(per_hour(fit(devices[name])) for name in channel) for channel in group.channels)


def _beta(assessment: Assessment, key: str) -> float | None:
    """Beta of a pair from the common-cause answers, or the specified one; None for a group that has neither."""
    betas, specified = assessment.group(key).betas, assessment.plant.groups[key].stated_beta
    return betas.beta_int if betas else specified.beta if specified else None
