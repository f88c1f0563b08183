"""PFDavg and PFH of a voted group as the mean over its timeline: the method ``timeline``, edition 1."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import groupby
from math import prod

import numpy as np

from scoring.equipment import Split, VotedGroup
from scoring.method import Measure
from scoring.numbers import put_in
from scoring.testing import Terms
from scoring.timeline import means
from scoring.timeline.group import Channel, Device, Element, Error, Group, InTest, Sought, changed
from scoring.timeline.instants import Rhythm
from scoring.timeline.method import ABOUT
from scoring.units import HOURS_PER_YEAR, Array, Fraction, Fractions, Hours
from scoring.voting import Voting


@dataclass(frozen=True, slots=True)
class GroupOverTime(VotedGroup):
    """A voted group with the clock of each test: its ``timeline`` without betas, over a ``mission`` [h] from when it is new."""

    timeline: Group | None = None
    mission: Hours = 0.0

    def voted(self, voting: Voting) -> GroupOverTime:
        """The same equipment with another voting.

        If N changes, every channel is the representative one, first tested after one interval with all others; in test they
        follow each other, a single channel is the group.
        """
        if voting.n == self.voting.n:
            return replace(self, voting=voting, timeline=replace(self._known, voting=voting))
        known, built = self._known, VotedGroup.voted(self, voting)
        channel: Channel = (self._mean_device(),) if self.diverse else changed(known.channels[0], _together)
        timeline = replace(
            known,
            voting=voting,
            channels=(channel,) * voting.n,
            in_test=tuple(_in_test(known, voting)),
            errors=tuple(
                dict.fromkeys(Error((Rhythm(error.tests[0].interval),), error.chance) for error in known.errors)
            ),
        )
        return replace(self, voting=voting, channels=built.channels, timeline=timeline)

    def with_betas(self, beta: Fractions, beta_d: Fractions) -> Group:
        """The group over time with its betas."""
        return replace(self._known, beta=beta, beta_d=beta_d)

    @property
    def _known(self) -> Group:
        if self.timeline is None:
            raise TypeError("a group without its timeline")
        return self.timeline

    def _mean_device(self) -> Device:
        """One device that stands for a channel: the geometric mean of the rates where the channels differ (approximation).

        A redundant element counts in it without its redundancy: M of its devices in series.
        """
        rates, upkeep = self.mean.rates, self.mean.upkeep
        sought = tuple(Sought(each.share, Rhythm(each.interval) if each.by_test else None) for each in upkeep.found)
        return Device(rates.du, rates.dd, sought, rates.sd)


def _together(device: Device) -> Device:
    """A device whose tests are first made after one interval."""
    sought = (replace(each, test=each.test and Rhythm(each.test.interval)) for each in device.sought)
    return replace(device, sought=tuple(sought))


def _in_test(group: Group, voting: Voting) -> Iterator[InTest]:
    """Time in test where all channels are first tested after one interval: of the group, or of its channels in turn."""
    for window in dict.fromkeys((each.test.interval, each.duration, each.channel is None) for each in group.in_test):
        interval, duration, of_group = window
        if of_group or voting.n == 1:
            yield InTest(Rhythm(interval), duration, None)
        else:
            yield from (InTest(Rhythm(interval), duration, at, at * duration) for at in range(voting.n))


ELEMENT = "what all channels share fails all its devices; of the rest its own beta is shared inside it, in every case alike (house rule)"
"""What a redundant element shares with whom."""


class Timeline:
    """``timeline`` edition 1: the mean of the group over its mission, all four cases on the same clock."""

    about = ABOUT

    def result(self, measure: Measure, group: VotedGroup, *, beta: Fractions, beta_d: Fractions) -> Split:
        """PFDavg [-] or PFH [1/h] of a group, without time in test and test errors.

        ``independent`` are coinciding failures while no test has the group down, ``shared`` what common cause adds to them.
        """
        independent, shared, *_ = _parts(measure, group, beta, beta_d)
        return Split(_as_given(independent, beta), _as_given(shared, beta))

    def test_terms(self, measure: Measure, group: VotedGroup) -> Terms:
        """Time in test and test errors of a group from its first test on, as PFDavg [-] or PFH [1/h]."""
        if not group.tests:
            return Terms()
        timed = _over_time(group)
        in_test, error, rate = means.mean_of_tests(timed.with_betas(0.0, 0.0), timed.mission)
        return Terms(in_test, error) if measure == "pfd" else Terms(0.0, rate)

    def remarks(self, group: VotedGroup) -> tuple[str, ...]:
        """Remarks on a group: diverse channels, redundant elements inside them."""
        remarks = []
        if group.diverse and group.voting.redundant:
            remarks.append(
                "diverse channels; their common-cause part rests on the geometric mean of the rates (approximation)"
            )
        elements = dict.fromkeys(element for channel in group.channels for element in channel.elements)
        return (*remarks, *(f"redundant element {element} inside a channel: {ELEMENT}" for element in elements))

    def worked(self, measure: Measure, group: VotedGroup, *, beta: Fraction, beta_d: Fraction) -> tuple[str, ...]:
        """What goes into the timeline of one group, and the means that come out: the integral has no single equation."""
        timed, unit = _over_time(group), "" if measure == "pfd" else "/h"
        lines: list[str] = []
        for channel in dict.fromkeys(timed.with_betas(beta, beta_d).channels):
            for part in channel:
                lines += (
                    _worked_element(part, beta, beta_d)
                    if isinstance(part, Element)
                    else _worked_device(part, beta, beta_d)
                )
        split = self.result(measure, group, beta=beta, beta_d=beta_d)
        what = "probability of being down" if measure == "pfd" else "rate of failing"
        return (
            *dict.fromkeys(lines),
            f"mission {put_in(timed.mission)} h ({timed.mission / HOURS_PER_YEAR:.3g} years), everything new at its start",
            f"mean {what} by coinciding failures, integrated between the tests = {put_in(np.mean(split.independent).item())}{unit}",
            f"mean {what} that common cause adds = {put_in(np.mean(split.shared).item())}{unit}",
        )


def _over_time(group: VotedGroup) -> GroupOverTime:
    if not isinstance(group, GroupOverTime):
        raise TypeError("the timeline needs the clock of each test: a GroupOverTime")
    return group


def _parts(measure: Measure, group: VotedGroup, beta: Fractions, beta_d: Fractions) -> Array:
    """The means of the four parts, as (parts, values)."""
    timed = _over_time(group)
    built = timed.with_betas(beta, beta_d)
    if measure == "pfd":
        return means.mean_down_in_parts(built, timed.mission)
    return means.mean_failing_in_parts(built, timed.mission, detected=not timed.acts_on_detected)


def _as_given(values: Array, beta: Fractions) -> Fractions:
    """Values in the shape of the betas, or one number."""
    if isinstance(beta, np.ndarray) or len(values) > 1:
        return np.broadcast_to(values, np.broadcast_shapes(values.shape, np.shape(beta)))
    return float(values[0])


def _worked_element(element: Element, beta: Fraction, beta_d: Fraction) -> Iterator[str]:
    """What not all channels share of the failures of its devices: of each alone, and of all devices of the element."""
    inside, one = f"{element.voting} element in a channel:", element.as_one
    of_all = (("undetected", element.beta, 1.0 - beta, "du"), ("detected", element.beta_d, 1.0 - beta_d, "dd"))
    for device in dict.fromkeys(element.devices):
        for name, own, kept, kind in of_all:
            yield f"{inside} {name}, of one device alone = {_product(1.0 - own, kept, getattr(device, kind))}/h"
        yield from (f"{inside} {line}" for line in _worked_tests(device))
    if element.voting.redundant:
        for name, own, kept, kind in of_all:
            yield f"{inside} {name}, of all its devices = {_product(own, kept, getattr(one, kind))}/h"


def _product(*factors: Fraction) -> str:
    """A product with its factors put in."""
    return f"{' x '.join(map(put_in, factors))} = {put_in(prod(factors))}"


def _worked_device(device: Device, beta: Fraction, beta_d: Fraction) -> Iterator[str]:
    """The rates of a device that have its channel down without the others, and when its failures are found."""
    for name, kept, rate in (("undetected", 1.0 - beta, device.du), ("detected", 1.0 - beta_d, device.dd)):
        yield f"{name}, of one channel alone = {put_in(kept)} x {put_in(rate)} = {put_in(kept * rate)}/h"
    yield from _worked_tests(device)


def _worked_tests(device: Device) -> Iterator[str]:
    """Which share of the undetected failures of a device is found when."""
    for test, found in groupby(device.sought, key=lambda each: each.test):
        share = sum(np.mean(each.share).item() for each in found)
        when = (
            "by no test"
            if test is None
            else f"every {test.interval:g} h, first after {test.offset or test.interval:g} h"
        )
        yield f"{put_in(share)} of the undetected ones is found {when}"
