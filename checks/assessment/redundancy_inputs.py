"""From a group of the plant file to the input of a redundancy method: channels with rates, tests and repair."""

from __future__ import annotations

from collections.abc import Iterator
from math import prod

from checks.assessment.editions import Editions
from checks.plantfile.equipment import Element, Group, Test
from checks.plantfile.plant import Plant
from checks.timeline import timed_groups
from checks.timeline.timed_groups import Factors
from scoring import equipment
from scoring.equipment import Channel, Found, Rates, Upkeep, VotedGroup
from scoring.testing import GroupTest
from scoring.timeline.method import TIMELINE
from scoring.units import Fractions, per_hour
from scoring.voting import Voting


def voted(plant: Plant, group: Group, voting: Voting | None = None, *, factors: Factors | None = None) -> VotedGroup:
    """A group as input to a redundancy method, with its own or another voting of the same channels.

    ``factors`` multiply the rates of devices; a device that they do not name keeps its own.
    """
    return VotedGroup(
        voting or group.voted,
        channels(plant, group, factors=factors),
        group.acts_on_detected,
        switch=group.diagnostic_switch,
        tests=tuple(_test(test) for test in group.tests if test.duration_h or test.error),
    )


def voted_for(
    editions: Editions, plant: Plant, key: str, voting: Voting | None = None, *, factors: Factors | None = None
) -> VotedGroup:
    """A group as input to its redundancy method: for the timeline with the clock of each test."""
    group = plant.groups[key]
    built = voted(plant, group, voting, factors=factors)
    if editions.redundancy_of(key).about.id != TIMELINE:
        return built
    moon_factor = editions.moon_factor_of(plant, group)
    return timed_groups.over_time(plant, group, built, factors=factors or {}, moon_factor=moon_factor)


def channels(plant: Plant, group: Group, *, factors: Factors | None = None) -> tuple[Channel, ...]:
    """Channels of a group: rates [1/h], and which share of their undetected failures is found when [h]."""
    by_parts: dict[tuple[str | Element, ...], Channel] = {}
    for parts in group.channels:
        if tuple(parts) not in by_parts:
            by_parts[tuple(parts)] = _channel(plant, group, tuple(parts), factors or {})
    return tuple(by_parts[tuple(parts)] for parts in group.channels)


def _channel(plant: Plant, group: Group, parts: tuple[str | Element, ...], factors: Factors) -> Channel:
    """Devices in series; those without dangerous failures add nothing (``consistency`` ensures that one has some).

    A redundant element counts without its redundancy: M devices in series at the geometric mean of their rates. Channels whose
    elements differ in their beta alone differ too.
    """
    rates: list[Rates] = []
    for part in parts:
        if isinstance(part, Element):
            of_devices = [found for name in part.of if (found := _rates(plant, name, factors))]
            rates += [equipment.mean_rates(of_devices)] * part.voting.m
        elif found := _rates(plant, part, factors):
            rates.append(found)
    elements = tuple(part.with_beta for part in parts if isinstance(part, Element))
    return Channel(equipment.in_series(rates), _upkeep(plant, group, parts, factors), elements)


def _rates(plant: Plant, name: str, factors: Factors) -> Rates | None:
    """Rates of a device [1/h]; None where it has no dangerous failure."""
    device = plant.devices[name]
    du, dd, sd = map(per_hour, (device.lambda_du_fit, device.lambda_dd_fit, device.lambda_sd_fit or 0.0))
    return Rates(*(_scaled(rate, factors.get(name)) for rate in (du, dd, sd))) if du or dd else None


def _scaled(rate: float, factor: Fractions | None) -> Fractions:
    return rate if factor is None or not rate else rate * factor


def _upkeep(plant: Plant, group: Group, parts: tuple[str | Element, ...], factors: Factors) -> Upkeep:
    mrt, mttr, test = group.mrt_h or 0.0, group.mttr_h or 0.0, group.proof_test
    if test is not None and (test.coverage == 1.0 or test.full_interval_h is not None):
        full = test.interval_h if test.full_interval_h is None else test.full_interval_h
        return Upkeep.proof_test(
            interval=test.interval_h, coverage=test.coverage, full_interval=full, mrt=mrt, mttr=mttr
        )
    found = [(rate, _found(plant, group, name)) for name, rate in _undetected(plant, parts, factors)]
    if all(of_device == found[0][1] for _, of_device in found):
        return Upkeep(found[0][1], mrt, mttr)
    return Upkeep(equipment.together(found), mrt, mttr)


def _undetected(plant: Plant, parts: tuple[str | Element, ...], factors: Factors) -> Iterator[tuple[str, Fractions]]:
    """Devices of a channel that have undetected failures, with their rates [FIT]; an element has those of M devices, in equal parts."""
    for part in parts:
        names = part.of if isinstance(part, Element) else (part,)
        rates = {
            name: _scaled(rate, factors.get(name)) for name in names if (rate := plant.devices[name].lambda_du_fit)
        }
        if isinstance(part, Element):
            mean = prod(rates[name] for name in names) ** (1.0 / part.voting.n)
            yield from ((name, mean * part.voting.m / part.voting.n) for name in names)
        else:
            yield from rates.items()


def _found(plant: Plant, group: Group, device: str) -> tuple[Found, ...]:
    """Which share of the undetected failures of one device the tests of its group find, and when."""
    tests = [test for test in group.all_tests if not test.devices or device in test.devices]
    return equipment.in_turn([(test.interval_h, test.coverage) for test in tests], plant.conventions.mission_h)


def _test(test: Test) -> GroupTest:
    """A test with its time and errors: the group is out once for each time at which channels are tested."""
    out = 0 if test.bypass in (None, "none") else test.moments
    return GroupTest(test.interval_h, test.duration_h, out, test.error)
