"""From a voted group to its unavailability at a time and the rate at which it fails."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial, reduce
from math import prod

import numpy as np

from scoring.timeline import shares
from scoring.timeline.failures import Detected, Undetected
from scoring.timeline.group import Channel, Device, Element, Group
from scoring.timeline.in_test import failing, left_failed, out_of_service
from scoring.timeline.instants import search
from scoring.timeline.times import Times
from scoring.units import Array, Fractions, Hours

Betas = tuple[Fractions, Fractions]
"""A share of the undetected failures, and one of the detected failures."""
NEVER: Array = np.zeros((1, 1))
"""Something that does not occur, as (times, groups)."""


def either(first: Array, second: Array) -> Array:
    """Probability of at least one of two independent events, without a loss of digits for small ones."""
    both = first * second
    result = first + second
    result -= both
    return result


def at_least(failures: int, downs: Sequence[Array]) -> Array:
    """Probability that at least so many of independent channels are down.

    With one more channel, at least j are down if it is down and j - 1 others are, or if j others are.
    """
    reached: list[Array | float] = [1.0, *[0.0] * failures]
    for place, down in enumerate(downs, start=1):
        for count in range(min(failures, place), 0, -1):
            more = reached[count - 1] - reached[count] if count < place else reached[count - 1]
            reached[count] = reached[count] + down * more
    return np.asarray(reached[failures])


def rows(rate: Fractions) -> Array:
    """A rate as one value for each group."""
    return np.atleast_1d(np.asarray(rate, float))


class History:
    """The probability of a group to be down, from time 0, when everything is new, to ``end`` [h].

    Every method takes times [h] and gives one row for each time and one column for each group. ``of`` are the shares of the undetected
    and detected failures that count: those of an element inside a channel are what not all channels share.
    """

    def __init__(
        self, group: Group, end: Hours, undetected: type[Undetected] = Undetected, of: Betas = (1.0, 1.0)
    ) -> None:
        self.group, self.end, self._kind = group, end, undetected
        redundant = group.voting.redundant
        beta, beta_d = (group.beta, group.beta_d) if redundant else (0.0, 0.0)
        self._alone, self._alone_d = of[0] * (1.0 - beta), of[1] * (1.0 - beta_d)
        self._together, self._together_d = of[0] * beta, of[1] * beta_d
        built = {id(channel): self._channel(channel) for channel in group.channels}
        self._channels = [built[id(channel)] for channel in group.channels]
        self._shared = list(self._shared_components()) if redundant else []

    def down(self, at: Times) -> Array:
        """Probability of being down by whatever cause: failures, a test that left it failed, or as it is in test itself."""
        down = self._failed(at)
        in_test = out_of_service(at, self.group.in_test, None)
        return down if in_test is None else np.maximum(down, in_test)

    def _failed(self, at: Times) -> Array:
        shared, down, error = self.shared(at), self.independent(at), left_failed(at, self.group.errors)
        down = down if shared is None else either(down, shared)
        return down if error is None else either(down, error)

    def down_in_parts(self, at: Times) -> tuple[Array, ...]:
        """Probability of being down in four parts that add up to ``down``: coinciding failures, common cause, in test, test error.

        Each part counts where none of those named after it has the group down already, common cause where coinciding failures
        have not; time in test and test errors depend on no failure.
        """
        independent, shared = self.independent(at), self.shared(at)
        error, in_test = left_failed(at, self.group.errors), out_of_service(at, self.group.in_test, None)
        serving = NEVER if in_test is None else in_test
        error = NEVER if error is None else error
        free = (1.0 - serving) * (1.0 - error)
        together = NEVER if shared is None else free * (1.0 - independent) * shared
        return free * independent, together, serving, (1.0 - serving) * error

    def failing_in_parts(self, at: Times, *, detected: bool) -> tuple[Array, ...]:
        """Rate of failing [1/h] in four parts that add up to ``failing``, in the order of ``down_in_parts``.

        A test error counts as one whatever has failed; what it takes from the others, as they are down already, is taken off them.
        """
        rate, independent = self._independent_failing(at, detected=detected), self.independent(at)
        shared, error = self.shared(at), left_failed(at, self.group.errors)
        left = np.asarray(failing(at, self.group.errors))
        together = NEVER
        if shared is not None:
            found = series_failing(self._shared, at, detected=detected or self.group.voting.diagnostic)
            rate = rate * (1.0 - shared)
            together = (1.0 - independent) * (found - left * shared)
        rate = rate - left * independent
        sound = 1.0 if error is None else 1.0 - error
        return rate * sound, together * sound, NEVER, np.atleast_2d(left * sound)

    def independent(self, at: Times) -> Array:
        """Probability of being down by failures that coincide."""
        return at_least(self.group.voting.tolerance + 1, self._downs(at))

    def shared(self, at: Times) -> Array | None:
        """Probability of being down by a shared cause; None where nothing is shared."""
        downs = [component.down(at) for component in self._shared]
        return reduce(either, downs) if downs else None

    def failing(self, at: Times, *, detected: bool) -> Array:
        """Rate [1/h] at which the group fails; ``detected``: whether a detected failure counts as the last one.

        Time in test of the group is planned and no failure; where a channel is in test, the next failure counts.
        """
        rate, error = self._independent_failing(at, detected=detected), left_failed(at, self.group.errors)
        shared = self.shared(at)
        if shared is not None:
            failing_together = series_failing(self._shared, at, detected=detected or self.group.voting.diagnostic)
            rate = rate * (1.0 - shared) + failing_together * (1.0 - self.independent(at))
        if error is None:
            return rate
        return rate * (1.0 - error) + failing(at, self.group.errors) * (1.0 - self._failed(at))

    def _independent_failing(self, at: Times, *, detected: bool) -> Array:
        """Rate [1/h] at which coinciding failures have the group down, where nothing else has."""
        downs, rates = self._downs(at), self._of_channels(at, partial(series_failing, detected=detected))
        needed = self.group.voting.tolerance
        rate: Array | float = 0.0
        for place, channel_rate in enumerate(rates):
            others = [down for other, down in enumerate(downs) if other != place]
            exactly = at_least(needed, others) - at_least(needed + 1, others)
            in_test = out_of_service(at, self.group.in_test, place)
            rate = rate + channel_rate * exactly * (1.0 if in_test is None else 1.0 - in_test)
        return np.asarray(rate)

    def _downs(self, at: Times) -> list[Array]:
        """Probability of each channel to be down or in test."""
        return [self._or_in_test(at, place, down) for place, down in enumerate(self._of_channels(at, series_down))]

    def _or_in_test(self, at: Times, place: int, down: Array) -> Array:
        in_test = out_of_service(at, self.group.in_test, place)
        return down if in_test is None else np.maximum(down, in_test)

    def _of_channels(self, at: Times, evaluated: Callable[[Sequence[Component], Times], Array]) -> list[Array]:
        """Something evaluated for each channel, once for like channels."""
        distinct = {id(channel): channel for channel in self._channels}
        values = {key: evaluated(channel, at) for key, channel in distinct.items()}
        return [values[id(channel)] for channel in self._channels]

    def _channel(self, parts: Channel) -> list[Component]:
        """What can have a channel down without the others: 1 - beta of each failure rate of its devices."""
        components: list[Component] = []
        for part in parts:
            if isinstance(part, Element):
                components.append(self._element(part))
                continue
            components += self._undetected(part)
            components.append(Detected(rows(self._alone_d * part.dd), self.group.restoration))
        return components

    def _element(self, element: Element) -> History:
        """A redundant element as a group of its own, with what not all channels share of the failures of its devices."""
        alike = {id(device): (device,) for device in element.devices}
        inside = replace(
            self.group,
            voting=element.voting,
            channels=tuple(alike[id(device)] for device in element.devices),
            beta=element.beta,
            beta_d=element.beta_d,
            in_test=(),
            errors=(),
        )
        return History(inside, self.end, self._kind, of=(self._alone, self._alone_d))

    def _undetected(self, device: Device) -> Iterator[Undetected]:
        """The undetected failures of a device that have its channel down without the others."""
        for sought in device.sought:
            rate = rows(self._alone * device.du * sought.share)
            yield self._kind(rate, search((sought.test,), 1, self.end), self.group.repair)

    def _shared_components(self) -> Iterator[Component]:
        """What can have all channels down at once: beta of the geometric mean of their rates.

        A shared undetected failure belongs, in each channel, to the test that finds failures as hard to find as it: the shares of
        the channels are laid side by side, each sorted by interval.
        """
        channels = [shares.sums(channel) for channel in self.group.channels]
        du, dd = (prod(rates) ** (1.0 / len(channels)) for rates in zip(*(sums[:2] for sums in channels), strict=True))
        needed = 1 if self.group.check_others else self.group.voting.m
        for share, tests in shares.side_by_side([sums[2] for sums in channels]):
            rate = rows(self._together * du * share)
            yield self._kind(rate, search(tuple(tests), needed, self.end), self.group.repair)
        yield Detected(rows(self._together_d * dd), self.group.restoration)


Component = Undetected | Detected | History
"""What can have a channel down: a kind of failure, or a redundant element."""


def series_down(components: Iterable[Component], at: Times) -> Array:
    """Probability that any of components in series is down."""
    return reduce(either, (component.down(at) for component in components))


def series_failing(components: Sequence[Component], at: Times, *, detected: bool) -> Array:
    """Rate at which components in series go down while all of them are up."""
    downs = [component.down(at) for component in components]
    after: list[Array | float] = [1.0]
    for down in reversed(downs[1:]):
        after.append(after[-1] * (1.0 - down))
    total, before = np.zeros((1, 1)), np.ones((1, 1))
    for component, down, rest in zip(components, downs, reversed(after), strict=True):
        if isinstance(component, History):
            total = total + component.failing(at, detected=detected) * before * rest
        elif detected or not isinstance(component, Detected):
            total = total + component.failing(down) * before * rest
        before = before * (1.0 - down)
    return total
