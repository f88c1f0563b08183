"""A voted group over time: its channels with their devices, and what the channels share."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import prod

import numpy as np

from scoring.timeline.instants import Rhythm
from scoring.units import Fraction, Fractions, Hours
from scoring.voting import Voting


@dataclass(frozen=True, slots=True)
class Sought:
    """A share of the undetected failures of a device and the test that finds it; None where no test does."""

    share: Fractions
    test: Rhythm | None


@dataclass(frozen=True, slots=True)
class Device:
    """One device of a channel: rates [1/h], a number or one for each of several groups, and when its failures are found.

    ``sd`` is the rate of safe detected failures, which switch a channel of a 1oo2D group off.
    """

    du: Fractions
    dd: Fractions
    sought: tuple[Sought, ...]
    sd: Fractions = 0.0


@dataclass(frozen=True, slots=True)
class Element:
    """Devices inside a channel of which M of N are enough; of what not all channels share they share ``beta`` and ``beta_d``.

    Both betas are of the element, with the MooN factor. They count in every case, as the rates of the devices do (house rule).
    """

    voting: Voting
    devices: tuple[Device, ...]
    beta: Fraction = 0.0
    beta_d: Fraction = 0.0

    @property
    def as_one(self) -> Device:
        """The device that stands for it in what all channels share, which fails all its devices: the geometric mean of their rates.

        Its failures are found when those of its devices are, each device with the same weight (house rule).
        """
        found: dict[Rhythm | None, Fractions] = {}
        for sought in (sought for device in self.devices for sought in device.sought):
            found[sought.test] = found.get(sought.test, 0.0) + sought.share
        count = len(self.devices)
        sought_by = tuple(Sought(share / count, test) for test, share in found.items())
        du, dd, sd = (_mean([getattr(device, name) for device in self.devices]) for name in ("du", "dd", "sd"))
        return Device(du, dd, sought_by, sd)


def _mean(rates: Sequence[Fractions]) -> Fractions:
    """Geometric mean; exactly the rate of one where all are alike."""
    if all(np.array_equal(rate, rates[0]) for rate in rates):
        return rates[0]
    return prod(rates) ** (1.0 / len(rates))


Channel = tuple[Device | Element, ...]
"""Devices and redundant elements in series."""


def devices_of(channel: Iterable[Device | Element]) -> Iterator[Device]:
    """All devices of a channel, those inside its elements too."""
    for part in channel:
        if isinstance(part, Element):
            yield from part.devices
        else:
            yield part


def changed(channel: Channel, change: Callable[[Device], Device]) -> Channel:
    """A channel with every device of it changed, those inside its elements too; one object stays one, so that it is calculated once."""
    new = {id(device): change(device) for device in devices_of(channel)}
    return tuple(
        replace(part, devices=tuple(new[id(device)] for device in part.devices))
        if isinstance(part, Element)
        else new[id(part)]
        for part in channel
    )


@dataclass(frozen=True, slots=True)
class InTest:
    """Time in test: from ``delay`` [h] after each test on, for ``duration`` [h], a channel counts as failed; None: the group."""

    test: Rhythm
    duration: Hours
    channel: int | None
    delay: Hours = 0.0


@dataclass(frozen=True, slots=True)
class Error:
    """The chance that a test leaves the group failed until the next one; ``tests`` has one entry for each time it is made."""

    tests: tuple[Rhythm, ...]
    chance: Fraction


@dataclass(frozen=True, slots=True)
class Group:
    """A MooN group of channels, each of devices and redundant elements in series.

    ``repair`` is MRT, ``restoration`` MTTR [h]. ``beta`` and ``beta_d`` are numbers or one for each of several groups, with the MooN
    factor. ``check_others``: when a failure is found in one channel the others are tested at once. ``switch`` is K of 1oo2D.
    """

    voting: Voting
    channels: tuple[Channel, ...]
    repair: Hours
    restoration: Hours
    beta: Fractions = 0.0
    beta_d: Fractions = 0.0
    check_others: bool = False
    in_test: tuple[InTest, ...] = ()
    errors: tuple[Error, ...] = ()
    switch: Fraction = 1.0

    @property
    def failures(self) -> int:
        """How many failures have it down at most, where none of them is shared."""
        inside = (part.voting.tolerance for channel in self.channels for part in channel if isinstance(part, Element))
        return (self.voting.tolerance + 1) * (max(inside, default=0) + 1)

    def fractions(self) -> Iterator[Fractions]:
        """Betas and rates, each a number or one for each of several groups."""
        yield from (self.beta, self.beta_d)
        for device in (device for channel in self.channels for device in devices_of(channel)):
            yield from (device.du, device.dd, device.sd)

    def rhythms(self) -> Iterator[Rhythm | None]:
        """The tests of all devices; None for a share of failures that no test finds."""
        for channel in self.channels:
            for device in devices_of(channel):
                yield from (sought.test for sought in device.sought)
        yield from (window.test for window in self.in_test)
        for error in self.errors:
            yield from error.tests
