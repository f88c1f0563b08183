"""A voted group over time: its channels with their devices, and what the channels share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

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
    """A MooN group of channels, each of devices in series.

    ``repair`` is MRT, ``restoration`` MTTR [h]. ``beta`` and ``beta_d`` are numbers or one for each of several groups, with the MooN
    factor. ``check_others``: when a failure is found in one channel the others are tested at once. ``switch`` is K of 1oo2D.
    """

    voting: Voting
    channels: tuple[tuple[Device, ...], ...]
    repair: Hours
    restoration: Hours
    beta: Fractions = 0.0
    beta_d: Fractions = 0.0
    check_others: bool = False
    in_test: tuple[InTest, ...] = ()
    errors: tuple[Error, ...] = ()
    switch: Fraction = 1.0

    def fractions(self) -> Iterator[Fractions]:
        """Betas and rates, each a number or one for each of several groups."""
        yield from (self.beta, self.beta_d)
        for device in (device for channel in self.channels for device in channel):
            yield from (device.du, device.dd, device.sd)

    def rhythms(self) -> Iterator[Rhythm | None]:
        """The tests of all devices; None for a share of failures that no test finds."""
        for channel in self.channels:
            for device in channel:
                yield from (sought.test for sought in device.sought)
        yield from (window.test for window in self.in_test)
        for error in self.errors:
            yield from error.tests
