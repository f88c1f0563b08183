"""A Markov chain of a whole group, written without the calculation of ``scoring.timeline``.

No document. It has a state for each combination of what every component does, and for a shared failure one for each set of channels
tested since. Confidence: derived.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import reduce
from itertools import combinations, product

import numpy as np

from scoring.timeline.group import Device, Group
from scoring.timeline.instants import Rhythm


@dataclass(frozen=True)
class Part:
    """One component: generator [1/h], where a test of a channel leads each of its states, and which states are down."""

    rates: np.ndarray
    tested: dict[tuple[int, Rhythm], np.ndarray]
    down: np.ndarray
    channel: int | None
    """The channel that it has down; None for the whole group."""


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
    beta, beta_d = (group.beta, group.beta_d) if group.voting.redundant else (0.0, 0.0)
    parts = []
    for channel, (device,) in enumerate(group.channels):
        assert isinstance(device, Device)
        for sought in device.sought:
            assert sought.test is not None
            rate = (1 - beta) * device.du * sought.share
            parts.append(_undetected(float(rate), group.repair, channel, sought.test))
        if device.dd:
            parts.append(_detected(float((1 - beta_d) * device.dd), group.restoration, channel))
    if not group.voting.redundant:
        return parts
    devices = [channel[0] for channel in group.channels]
    count = len(devices)
    du, dd = (np.prod([getattr(device, rate) for device in devices]) ** (1 / count) for rate in ("du", "dd"))
    needed = 1 if group.check_others else group.voting.m
    for share, tests in _laid_side_by_side(devices):
        parts.append(_shared(float(beta * du * share), group.repair, tests, needed))
    if dd:
        parts.append(_detected(float(beta_d * dd), group.restoration, None))
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


def _is_down(parts: list[Part], needed: int) -> np.ndarray:
    down = []
    for states in product(*(range(len(part.down)) for part in parts)):
        failed = {part.channel for part, state in zip(parts, states, strict=True) if part.down[state]}
        down.append(None in failed or len(failed) >= needed)
    return np.array(down)


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
        self._down = _is_down(parts, group.voting.tolerance + 1)
        self._into = (self._rates * ~self._down[:, None] * self._down).sum(axis=1)
        self._found = {
            key: reduce(np.kron, [part.tested.get(key, np.eye(len(part.down))) for part in parts])
            for key in {key for part in parts for key in part.tested}
        }

    def means(
        self, mission: float, exponential: Callable[[np.ndarray], np.ndarray], step: float
    ) -> tuple[float, float]:
        """Mean unavailability, and mean rate of going down [1/h], over the mission [h].

        Phases between two tests are stepped through in steps [h] that divide them; the exponential of a step is made once.
        """
        kept: dict[float, tuple[np.ndarray, np.ndarray]] = {}
        state, total, failures = np.zeros(self.states), 0.0, 0.0
        state[0] = 1.0
        for length, tested in self._phases(mission):
            size = min(step, length)
            assert length % size == 0
            if size not in kept:
                kept[size] = self._stepped(exponential, size)
            stepped, integral = kept[size]
            for _ in range(round(length / size)):
                spent = state @ integral
                total += float(spent[self._down].sum())
                failures += float(spent @ self._into)
                state = state @ stepped
            for key in tested:
                state = state @ self._found[key]
        return total / mission, failures / mission

    def _stepped(self, exponential: Callable[[np.ndarray], np.ndarray], size: float) -> tuple[np.ndarray, np.ndarray]:
        """From the state at the start of a step [h] to that at its end, and to the time spent in each state."""
        count = self.states
        both = np.zeros((2 * count, 2 * count))
        both[:count, :count], both[:count, count:] = self._rates * size, np.eye(count) * size
        made = exponential(both)
        return made[:count, :count], made[:count, count:]

    def _phases(self, mission: float) -> Iterator[tuple[float, list[tuple[int, Rhythm]]]]:
        """Length of each stretch between two tests [h], and the tests at its end."""
        due: dict[float, list[tuple[int, Rhythm]]] = {mission: []}
        for channel, test in self._found:
            for at in np.arange(test.offset or test.interval, mission, test.interval):
                due.setdefault(float(at), []).append((channel, test))
        before = 0.0
        for at in sorted(due):
            yield at - before, due[at]
            before = at
