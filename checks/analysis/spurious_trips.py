"""Spurious trips of groups and functions by both conventions, with the part of common cause, as built and with other voting.

Every group of a function trips it, alternatives too: the rates of the groups add up. A rate that is not known is never 0.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import fsum

from checks.assessment.assessment import Assessment
from checks.plantfile.equipment import Element, Group
from scoring.spurious_trips.conventions import CONVENTIONS
from scoring.spurious_trips.trip_rate import MOST, TripConvention, TripGroup, TripRate
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

    ``channel`` is the rate of its first channel [1/h], ``beta`` that of safe failures; None where they are not known, or where the
    conventions differ in the rate, as for a channel with a redundant element, which is taken by the same convention. ``remark`` says where the rare-event equations are out of their range.
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
    beta = _beta(assessment, key)
    by = [_by(convention, assessment, group, voting, beta) for convention in CONVENTIONS]
    in_range = all(inside for _, _, inside in by)
    remark = "" if in_range else f"{key}: rate x MTTR of a channel is above 0.1, so the rate is only an upper bound"
    rates = {rate for _, rate, _ in by}
    channel = rates.pop() if len(rates) == 1 else None
    return GroupTrips(key, arrangement, channel, beta, tuple(trips for trips, _, _ in by), remark)


def _by(
    convention: TripConvention, assessment: Assessment, group: Group, voting: Voting | None, beta: float | None
) -> tuple[Trips, PerHour | None, bool]:
    """Trips of a group by a convention, the rate of its first channel, and whether all are within its range."""
    mttr = group.mttr_h or 0.0
    try:
        elements = {element: _of_element(convention, assessment, group, element) for element in group.elements}
    except VotingRefused as refused:
        return Trips(convention.about.id, None, str(refused)), None, True
    built = TripGroup(group.voted, _rates(assessment, group, elements), mttr, beta)
    trips = _of_voted(convention, built.voted(voting or group.voted))
    devices = [device for element in group.elements for device in element.of]
    alone = [_rate(assessment, group, name) * mttr for name in devices]
    return trips, built.rates[0], built.in_range and max(alone, default=0.0) <= MOST


def _of_element(convention: TripConvention, assessment: Assessment, group: Group, element: Element) -> PerHour:
    """The rate at which a redundant element calls for a trip [1/h], by the same convention; raises VotingRefused."""
    rates = tuple(_rate(assessment, group, name) for name in element.of)
    beta = element.stated_beta.beta if element.stated_beta else None
    trips = _of_voted(convention, TripGroup(element.voting, rates, group.mttr_h or 0.0, beta))
    total = None if trips.rate is None else trips.rate.total
    if total is None:
        raise VotingRefused(f"redundant element {element} inside a channel: {trips.missing}")
    return total


def _of_voted(convention: TripConvention, group: TripGroup) -> Trips:
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
    without = [name for name in group.devices if assessment.plant.devices[name].lambda_s_fit is None]
    return f"no lambda_s_fit of {', '.join(without)}" if without else ""


def _rates(assessment: Assessment, group: Group, elements: Mapping[Element, PerHour]) -> tuple[PerHour, ...]:
    """The rate at which each channel calls for a trip [1/h]: any of its devices and redundant elements in series does."""

    def rate(part: str | Element) -> PerHour:
        return elements[part] if isinstance(part, Element) else _rate(assessment, group, part)

    return tuple(fsum(map(rate, channel)) for channel in group.channels)


def _rate(assessment: Assessment, group: Group, name: str) -> PerHour:
    """The rate at which a device calls for a trip [1/h]."""
    device = assessment.plant.devices[name]
    return per_hour((device.lambda_s_fit or 0.0) + (device.lambda_dd_fit if group.acts_on_detected else 0.0))


def _beta(assessment: Assessment, key: str) -> float | None:
    """Beta of a pair from the common-cause answers, or the specified one; None for a group that has neither."""
    betas, specified = assessment.group(key).betas, assessment.plant.groups[key].stated_beta
    return betas.beta_int if betas else specified.beta if specified else None
