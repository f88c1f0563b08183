"""From a group of the plant file to the input of the timeline: its devices, and when which of their failures are found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, replace
from functools import partial

from checks.plantfile.equipment import Element, Group, Test, devices_in
from checks.plantfile.plant import Plant
from scoring import equipment
from scoring.equipment import VotedGroup
from scoring.method import MoonFactor
from scoring.redundancy.group_over_time import GroupOverTime
from scoring.timeline.group import Channel, Device, Error, InTest, Sought, changed, devices_of
from scoring.timeline.group import Element as TimedElement
from scoring.timeline.group import Group as TimedGroup
from scoring.timeline.instants import Rhythm
from scoring.units import Fractions, Hours, per_hour
from scoring.voting import Voting

Factors = Mapping[str, Fractions]
"""By device, a factor on all its failure rates, or an array of them: one for each sample."""
USUAL_MISSION: Hours = 131400.0
"""Mission of a plant that states none: 15 years (house rule)."""


def mission(plant: Plant) -> Hours:
    """The mission time of a plant [h]."""
    return plant.conventions.mission_h or USUAL_MISSION


def over_time(
    plant: Plant, group: Group, voted: VotedGroup, *, factors: Factors, moon_factor: MoonFactor
) -> GroupOverTime:
    """A voted group with the clock of each test, as input to the method ``timeline``; ``factors`` multiply the rates of devices."""
    timeline = _scaled(plant, group, timed(plant, group, voted.voting, moon_factor=moon_factor), factors)
    known = {field.name: getattr(voted, field.name) for field in fields(VotedGroup)}
    return GroupOverTime(**known, timeline=timeline, mission=mission(plant))


def timed(plant: Plant, group: Group, voting: Voting, *, moon_factor: MoonFactor, together: bool = False) -> TimedGroup:
    """A group with its voting, without betas; ``together``: as if every test were first made after one interval, in all channels.

    ``moon_factor`` makes the beta of a redundant element inside a channel from that of a pair of its devices.
    """
    alike: dict[Channel, Channel] = {}
    channels = []
    for place, parts in enumerate(group.channels):
        at = None if together else place
        devices = tuple(
            _element(plant, group, part, at, moon_factor)
            if isinstance(part, Element)
            else _device(plant, group, part, at)
            for part in _failing(plant, parts)
        )
        channels.append(alike.setdefault(devices, devices))  # one object for like channels, which are calculated once
    return TimedGroup(
        voting,
        tuple(channels),
        group.mrt_h or 0.0,
        group.mttr_h or 0.0,
        check_others=group.check_others,
        in_test=tuple(_in_test(group, together=together)),
        errors=tuple(
            Error(tuple(dict.fromkeys(_each(group, test, together=together))), test.error)
            for test in group.tests
            if test.error
        ),
        switch=1.0 if group.diagnostic_switch is None else group.diagnostic_switch,
    )


def _each(group: Group, test: Test, *, together: bool) -> list[Rhythm]:
    """When each channel has a test."""
    return [_rhythm(group, test, None if together else place) for place in range(len(group.channels))]


def _in_test(group: Group, *, together: bool) -> Iterator[InTest]:
    """Time in test: of the group at each time of a test, or of its channels one after the other (house rule)."""
    for test in group.tests:
        tested = _each(group, test, together=together) if test.duration_h else []
        if test.bypass == "group" or (test.bypass == "channel" and len(group.channels) == 1):
            yield from (InTest(rhythm, test.duration_h, None) for rhythm in dict.fromkeys(tested))
        elif test.bypass == "channel":
            for place, rhythm in enumerate(tested):
                before = tested[:place].count(rhythm)
                yield InTest(rhythm, test.duration_h, place, before * test.duration_h)


def has_offsets(group: Group) -> bool:
    """Whether a test of one of its channels is first made at another time than after one interval."""
    if group.proof_test is not None:
        return group.proof_test.staggered and len(group.channels) > 1
    return any(offset for test in group.tests for offset in test.offsets_h)


def _device(plant: Plant, group: Group, name: str, channel: int | None) -> Device:
    device = plant.devices[name]
    tests = [test for test in group.all_tests if not test.devices or name in test.devices]
    sought = tuple(
        Sought(share, None if place is None else _rhythm(group, tests[place], channel))
        for place, share in equipment.found_first([(test.interval_h, test.coverage) for test in tests])
    )
    du, dd, sd = map(per_hour, (device.lambda_du_fit, device.lambda_dd_fit, device.lambda_sd_fit or 0.0))
    return Device(du, dd, sought, sd)


def _element(
    plant: Plant, group: Group, element: Element, channel: int | None, moon_factor: MoonFactor
) -> TimedElement:
    """A redundant element on the clock of its channel, with the beta of its voting."""
    devices = {name: _device(plant, group, name, channel) for name in element.of}
    stated, betas = element.stated_beta, (0.0, 0.0)
    if stated is not None and element.voting.redundant:
        factor = 1.0 if stated.of == "group" else moon_factor.factor(element.voting)
        betas = min(1.0, factor * stated.beta), min(1.0, factor * stated.beta_d)
    return TimedElement(element.voting, tuple(devices[name] for name in element.of), *betas)


def _failing(plant: Plant, parts: Sequence[str | Element]) -> list[str | Element]:
    """Devices of a channel that have dangerous failures, and its redundant elements."""

    def fails(name: str) -> bool:
        return bool(plant.devices[name].lambda_du_fit or plant.devices[name].lambda_dd_fit)

    return [part for part in parts if isinstance(part, Element) or fails(part)]


def _scaled(plant: Plant, group: Group, timeline: TimedGroup, factors: Factors) -> TimedGroup:
    """A group with the rates of its devices times their factors; like channels stay one object."""
    if not factors:
        return timeline
    alike: dict[tuple[int, tuple[str | Element, ...]], Channel] = {}
    channels = []
    for channel, parts in zip(timeline.channels, group.channels, strict=True):
        key = (id(channel), tuple(parts))
        if key not in alike:
            names = (name for part in _failing(plant, parts) for name in devices_in([part]))
            by = {id(device): factors.get(name, 1.0) for device, name in zip(devices_of(channel), names, strict=True)}
            alike[key] = changed(channel, partial(_times, by))
        channels.append(alike[key])
    return replace(timeline, channels=tuple(channels))


def _times(factors: Mapping[int, Fractions], device: Device) -> Device:
    """A device with its rates times its factor, which is found by the object."""
    factor = factors[id(device)]
    return replace(device, du=device.du * factor, dd=device.dd * factor, sd=device.sd * factor)


def _rhythm(group: Group, test: Test, channel: int | None) -> Rhythm:
    """When a channel is tested, None: without offsets; a staggered proof test is spread evenly over its interval."""
    if channel is None:
        return Rhythm(test.interval_h)
    if test.offsets_h:
        return Rhythm(test.interval_h, test.offsets_h[channel])
    proof_test = group.proof_test
    if proof_test is not None and proof_test.staggered and test.interval_h == proof_test.interval_h:
        return Rhythm(test.interval_h, test.interval_h * channel / len(group.channels))
    return Rhythm(test.interval_h)
