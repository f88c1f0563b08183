"""A Markov chain of a whole group, written without the calculation of ``scoring.timeline``.

No document. It has a state for each combination of what every component does, and for a shared failure one for each set of channels
tested since. Confidence: derived.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import reduce
from itertools import combinations, product

import numpy as np

from scoring.timeline.group import Device, Element, Group
from scoring.timeline.instants import Rhythm


@dataclass(frozen=True)
class Part:
    """One component: generator [1/h], where a test of a channel leads each of its states, and which states are down."""

    rates: np.ndarray
    tested: dict[tuple[int, Rhythm], np.ndarray]
    down: np.ndarray
    channel: int | None
    """The channel that it has down; None for the whole group."""
    off: bool = False
    """Whether it has a channel of 1oo2D switched off."""
    inside: tuple[int, int | None] | None = None
    """Of a redundant element: its place in the channel, and the device that it has down, None for all."""


def _generator(states: int, moves: dict[tuple[int, int], float]) -> np.ndarray:
    rates = np.zeros((states, states))
    for (start, end), rate in moves.items():
        rates[start, end] += rate
        rates[start, start] -= rate
    return rates


def _undetected(rate: float, repair: float, channel: int, test: Rhythm) -> Part:
    """Sound, hidden, in repair."""
    rates = _generator(3, {(0, 1): rate, (2, 0): 1.0 / repair})
    found = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 0.0, 1.0]])
    return Part(rates, {(channel, test): found}, np.array([False, True, True]), channel)


def _detected(rate: float, repair: float, channel: int | None) -> Part:
    return Part(_generator(2, {(0, 1): rate, (1, 0): 1.0 / repair}), {}, np.array([False, True]), channel)


def _error(chance: float, tests: tuple[tuple[int, Rhythm], ...]) -> Part:
    """Sound, left failed: each test draws which of them."""
    drawn = np.array([[1.0 - chance, chance]] * 2)
    return Part(np.zeros((2, 2)), dict.fromkeys(tests, drawn), np.array([False, True]), None)


def _diagnostic(group: Group) -> list[Part]:
    """1oo2D of one device in each channel: undetected, switched off, and in common or not switched off."""
    beta, beta_d, parts = float(group.beta), float(group.beta_d), []
    for channel, (device,) in enumerate(group.channels):
        (sought,) = device.sought
        assert sought.test is not None
        parts.append(_undetected((1 - beta) * float(device.du), group.repair, channel, sought.test))
        off = _detected(float(group.switch * (1 - beta_d) * device.dd + device.sd), group.restoration, channel)
        parts.append(replace(off, off=True))
        parts.append(_detected(float((1 - group.switch) * device.dd), group.restoration, None))
    device, tests = group.channels[0][0], [channel[0].sought[0].test for channel in group.channels]
    parts.append(_shared(float(beta * device.du), group.repair, [test for test in tests if test], 1))
    return parts


def _shared(rate: float, repair: float, tests: list[Rhythm], needed: int) -> Part:
    """Sound, hidden with each set of fewer than ``needed`` channels tested since, in repair."""
    sets = [frozenset(some) for count in range(needed) for some in combinations(range(len(tests)), count)]
    last = len(sets) + 1
    rates = _generator(last + 1, {(0, 1): rate, (last, 0): 1.0 / repair})
    tested = {}
    for channel, test in enumerate(tests):
        leads = np.eye(last + 1)
        for place, since in enumerate(sets, start=1):
            leads[place] = 0.0
            after = since | {channel}
            leads[place, sets.index(after) + 1 if len(after) < needed else last] = 1.0
        tested[channel, test] = leads
    return Part(rates, tested, np.array([False] + [True] * last), None)


def _parts(group: Group) -> list[Part]:
    if group.voting.diagnostic:
        return _diagnostic(group)
    beta, beta_d = (group.beta, group.beta_d) if group.voting.redundant else (0.0, 0.0)
    parts = []
    for channel, in_series in enumerate(group.channels):
        for place, part in enumerate(in_series):
            if isinstance(part, Element):
                parts += _inside(group, part, channel, place, (1 - float(beta), 1 - float(beta_d)))
            else:
                parts += _alone(group, part, channel, 1 - float(beta), 1 - float(beta_d))
    for error in group.errors:
        tests = tuple((channel, test) for channel, test in enumerate(error.tests))
        parts.append(_error(error.chance, tests))
    if not group.voting.redundant:
        return parts
    devices = [_one(channel[0]) for channel in group.channels]
    assert all(len(channel) == 1 for channel in group.channels)
    count = len(devices)
    du, dd = (np.prod([getattr(device, rate) for device in devices]) ** (1 / count) for rate in ("du", "dd"))
    needed = 1 if group.check_others else group.voting.m
    for share, tests in _laid_side_by_side(devices):
        parts.append(_shared(float(beta * du * share), group.repair, tests, needed))
    if dd:
        parts.append(_detected(float(beta_d * dd), group.restoration, None))
    return parts


def _one(part: Device | Element) -> Device:
    """A device as it is; an element of like devices as one of them."""
    if isinstance(part, Device):
        return part
    assert len(set(part.devices)) == 1
    return part.devices[0]


def _alone(group: Group, device: Device, channel: int, share: float, share_d: float) -> list[Part]:
    """The failures of one device, of each rate this share."""
    parts = []
    for sought in device.sought:
        assert sought.test is not None
        parts.append(_undetected(float(share * device.du * sought.share), group.repair, channel, sought.test))
    if device.dd:
        parts.append(_detected(float(share_d * device.dd), group.restoration, channel))
    return parts


def _inside(group: Group, element: Element, channel: int, place: int, shares: tuple[float, float]) -> list[Part]:
    """The failures of an element of like devices with one test, or of unlike ones that share nothing.

    Of each rate the part that not all channels share: alone, and shared by its devices.
    """
    share, share_d = shares
    parts = []
    for at, device in enumerate(element.devices):
        alone = _alone(group, device, channel, share * (1 - element.beta), share_d * (1 - element.beta_d))
        parts += [replace(part, inside=(place, at)) for part in alone]
    if element.beta or element.beta_d:
        shared = _alone(group, _one(element), channel, share * element.beta, share_d * element.beta_d)
        parts += [replace(part, inside=(place, None)) for part in shared]
    return parts


def _laid_side_by_side(devices: list[Device]) -> list[tuple[float, list[Rhythm]]]:
    """Pieces of 0 to 1 with the test that finds a failure of this piece in each device: a hundred pieces of one per cent."""
    pieces: dict[tuple[Rhythm, ...], float] = {}
    for piece in range(100):
        tests = []
        for device in devices:
            reached = 0.0
            for sought in device.sought:
                reached += sought.share
                if (piece + 0.5) / 100 < reached:
                    tests.append(sought.test)
                    break
        pieces[tuple(tests)] = pieces.get(tuple(tests), 0.0) + 0.01
    return [(share, list(tests)) for tests, share in pieces.items()]


def _is_down(group: Group, parts: list[Part], in_test: frozenset[int | None]) -> np.ndarray:
    """Which states are down while these channels, or None for the group, are in test."""
    down = []
    for states in product(*(range(len(part.down)) for part in parts)):
        failed = [part for part, state in zip(parts, states, strict=True) if part.down[state]]
        hidden = {part.channel for part in failed if not part.off and not part.inside}
        hidden |= _failed_elements(group, failed)
        off = {part.channel for part in failed if part.off} | in_test
        whole = None in hidden | off
        if group.voting.diagnostic:
            down.append(
                whole or any(channel in hidden and other in hidden | off for channel, other in ((0, 1), (1, 0)))
            )
        else:
            down.append(whole or len(hidden | off) > group.voting.tolerance)
    return np.array(down)


def _failed_elements(group: Group, failed: list[Part]) -> set[int | None]:
    """Channels of which a redundant element is down: more of its devices than it survives, or all at once."""
    down: set[int | None] = set()
    for channel, in_series in enumerate(group.channels):
        for place, element in enumerate(in_series):
            if isinstance(element, Element):
                mine = {
                    part.inside[1]
                    for part in failed
                    if part.channel == channel and part.inside and part.inside[0] == place
                }
                if None in mine or len(mine) > element.voting.tolerance:
                    down.add(channel)
    return down


class Chain:
    """The chain of a group; ``states`` is their number."""

    def __init__(self, group: Group) -> None:
        parts = _parts(group)
        sizes = [len(part.down) for part in parts]
        self.states = int(np.prod(sizes))
        self._rates = np.zeros((self.states, self.states))
        for place, part in enumerate(parts):
            matrices = [part.rates if other == place else np.eye(size) for other, size in enumerate(sizes)]
            self._rates += reduce(np.kron, matrices)
        self._group, self._parts = group, parts
        self._downs: dict[frozenset[int | None], tuple[np.ndarray, np.ndarray]] = {}
        self._found = {
            key: reduce(np.kron, [part.tested.get(key, np.eye(len(part.down))) for part in parts])
            for key in {key for part in parts for key in part.tested}
        }

    def _down(self, in_test: frozenset[int | None]) -> tuple[np.ndarray, np.ndarray]:
        """Which states are down, and the rate of going there from each that is not [1/h]; also while the group is in test."""
        if in_test not in self._downs:
            failed = _is_down(self._group, self._parts, in_test - {None})
            down = np.ones_like(failed) if None in in_test else failed
            self._downs[in_test] = down, (self._rates * ~failed[:, None] * failed).sum(axis=1)
        return self._downs[in_test]

    def means(
        self, mission: float, exponential: Callable[[np.ndarray], np.ndarray], step: float
    ) -> tuple[float, float]:
        """Mean unavailability, and mean rate of going down [1/h], over the mission [h].

        Phases between two tests are stepped through in steps [h] that divide them; the exponential of a step is made once.
        """
        kept: dict[tuple[float, frozenset[int | None]], tuple[np.ndarray, np.ndarray]] = {}
        state, sums = np.zeros(self.states), np.zeros(2)
        state[0] = 1.0
        for length, tested, in_test in self._phases(mission):
            size = min(step, length)
            assert length % size == 0
            if (size, in_test) not in kept:
                kept[size, in_test] = self._stepped(exponential, size, in_test)
            stepped, gained = kept[size, in_test]
            for _ in range(round(length / size)):
                sums += state @ gained
                state = state @ stepped
            for key in tested:
                state = state @ self._found[key]
        return float(sums[0]) / mission, float(sums[1]) / mission

    def _stepped(
        self, exponential: Callable[[np.ndarray], np.ndarray], size: float, in_test: frozenset[int | None]
    ) -> tuple[np.ndarray, np.ndarray]:
        """From the state at the start of a step [h] to that at its end, and to the time down [h] and the failures in it."""
        count = self.states
        both = np.zeros((count + 2, count + 2))
        both[:count, :count], both[:count, count:] = self._rates * size, np.column_stack(self._down(in_test)) * size
        made = exponential(both)
        return made[:count, :count], made[:count, count:]

    def _phases(self, mission: float) -> Iterator[tuple[float, list[tuple[int, Rhythm]], frozenset[int | None]]]:
        """Length of each stretch between two tests [h], the tests at its end, and what is in test in it."""
        due: dict[float, list[tuple[int, Rhythm]]] = {mission: []}
        for channel, test in self._found:
            for at in np.arange(test.offset or test.interval, mission, test.interval):
                due.setdefault(float(at), []).append((channel, test))
        out = []
        for window in self._group.in_test:
            test = window.test
            for at in np.arange(test.offset or test.interval, mission, test.interval) + window.delay:
                out.append((float(at), float(at) + window.duration, window.channel))
                due.setdefault(float(at), [])
                due.setdefault(float(at) + window.duration, [])
        before = 0.0
        for at in sorted(at for at in due if at <= mission):
            yield at - before, due[at], frozenset(channel for begin, end, channel in out if begin <= before < end)
            before = at
