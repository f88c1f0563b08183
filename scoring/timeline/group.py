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

    share: Fraction
    test: Rhythm | None


@dataclass(frozen=True, slots=True)
class Device:
    """One device of a channel: rates [1/h], a number or one for each of several groups, and when its failures are found."""

    du: Fractions
    dd: Fractions
    sought: tuple[Sought, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """A MooN group of channels, each of devices in series.

    ``repair`` is MRT, ``restoration`` MTTR [h]. ``beta`` and ``beta_d`` are numbers or one for each of several groups, with the MooN
    factor. ``check_others``: when a failure is found in one channel the others are tested at once.
    """

    voting: Voting
    channels: tuple[tuple[Device, ...], ...]
    repair: Hours
    restoration: Hours
    beta: Fractions = 0.0
    beta_d: Fractions = 0.0
    check_others: bool = False

    def rhythms(self) -> Iterator[Rhythm | None]:
        """The tests of all devices; None for a share of failures that no test finds."""
        for channel in self.channels:
            for device in channel:
                yield from (sought.test for sought in device.sought)
