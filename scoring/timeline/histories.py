"""The history of a group by its architecture: MooN, or 1oo2D."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from scoring.limits import OutOfRange
from scoring.timeline.failures import Detected, Undetected
from scoring.timeline.group import Element, Group, devices_of
from scoring.timeline.times import Times
from scoring.timeline.unavailability import Component, History, either, rows, series_down, series_failing
from scoring.units import Array, Hours


class DiagnosticHistory(History):
    """A 1oo2D group: a channel with a detected failure, dangerous or safe, is switched off, and the other one decides alone.

    The group is down where one channel has an undetected failure and the other one any failure, by a shared undetected failure, or
    by a detected dangerous failure that is not switched off, 1 - K of them. Where both channels are off the process is safe.

    Raises OutOfRange for a channel with a redundant element. Source: derived from the description of 1oo2D in IEC 61508-6:2010, B.3.2.2.4 (from memory).
    """

    def __init__(self, group: Group, end: Hours, undetected: type[Undetected] = Undetected) -> None:
        super().__init__(group, end, undetected)
        if any(isinstance(part, Element) for channel in group.channels for part in channel):
            raise OutOfRange("channels", "a redundant element", f"{group.voting} has no form for it")
        devices = [tuple(devices_of(channel)) for channel in group.channels]
        self._hidden = [[part for device in channel for part in self._undetected(device)] for channel in devices]
        self._off = []
        for channel in devices:
            dd, sd = sum(device.dd for device in channel), sum(device.sd for device in channel)
            self._off.append(Detected(rows(group.switch * self._alone_d * dd + sd), group.restoration))

    def independent(self, at: Times) -> Array:
        """Probability of an undetected failure in one channel while the other one has any failure."""
        (hidden, other_hidden), (off, other_off) = self._states(at)
        any_failed, other_failed = either(hidden, off), either(other_hidden, other_off)
        return np.asarray(hidden * other_failed + other_hidden * any_failed - hidden * other_hidden)

    def _states(self, at: Times) -> tuple[list[Array], list[Array]]:
        """Probability of each channel to have an undetected failure, and to be switched off or in test."""
        off = [self._or_in_test(at, place, component.down(at)) for place, component in enumerate(self._off)]
        return [series_down(components, at) for components in self._hidden], off

    def _independent_failing(self, at: Times, *, detected: bool) -> Array:  # noqa: ARG002
        hidden, off = self._states(at)
        rate: Array | float = 0.0
        for place, other in ((0, 1), (1, 0)):
            undetected = series_failing(self._hidden[place], at, detected=True)
            other_failed = either(hidden[other], off[other])
            rate = rate + undetected * (other_failed - hidden[other] * off[place])
            rate = rate + self._off[place].failing(off[place]) * hidden[other] * (1.0 - hidden[place])
        return np.asarray(rate)

    def _shared_components(self) -> Iterator[Component]:
        """Shared undetected failures, and detected ones of each channel that are not switched off."""
        yield from (component for component in super()._shared_components() if not isinstance(component, Detected))
        for channel in self.group.channels:
            dd = sum(device.dd for device in devices_of(channel))
            yield Detected(rows((1.0 - self.group.switch) * dd), self.group.restoration)


def history(group: Group, end: Hours, undetected: type[Undetected] = Undetected) -> History:
    """The history of a group from time 0 to ``end`` [h], its undetected failures as they are or from above."""
    kind = DiagnosticHistory if group.voting.diagnostic else History
    return kind(group, end, undetected)
