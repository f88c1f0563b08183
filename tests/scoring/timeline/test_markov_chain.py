"""Against a Markov chain of the whole group with one phase between two tests, stepped through the mission.

No document: the chain is written here without ``scoring.timeline``. It has a state for each combination of what every component
does, and for a shared failure one for each set of channels tested since. Confidence: derived. Steps of a few hours, since a matrix
exponential over a whole stiff phase is itself only good to about 1e-9.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import reduce
from itertools import combinations, product

import numpy as np
import pytest
from scipy.linalg import expm

from scoring.timeline.group import Device, Group, Sought
from scoring.timeline.instants import Rhythm
from scoring.voting import Voting
from tests.scoring.timeline.given import mean_down, mean_failing

STEP = 6.0
"""Step of the chain [h]; all instants of the tests are multiples of it."""
MISSION = 3 * 8760.0
AGREED = 1e-9


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


def chain_means(group: Group, mission: float) -> tuple[float, float]:
    """Mean unavailability, and mean rate of going down [1/h], over the mission by the chain."""
    parts = _parts(group)
    sizes = [len(part.down) for part in parts]
    whole = np.zeros((int(np.prod(sizes)),) * 2)
    for place, part in enumerate(parts):
        matrices = [part.rates if other == place else np.eye(size) for other, size in enumerate(sizes)]
        whole += reduce(np.kron, matrices)
    count = len(whole)
    both = np.zeros((2 * count, 2 * count))
    both[:count, :count], both[:count, count:] = whole * STEP, np.eye(count) * STEP
    stepped = expm(both)
    step, integral = stepped[:count, :count], stepped[:count, count:]
    down = _is_down(parts, group.voting.tolerance + 1)
    into = (whole * ~down[:, None] * down).sum(axis=1)
    state, total, failures = np.zeros(count), 0.0, 0.0
    state[0] = 1.0
    clocks = {key for part in parts for key in part.tested}
    due: dict[int, list[tuple[int, Rhythm]]] = {}
    for key in clocks:
        first = key[1].offset or key[1].interval
        for at in np.arange(first, mission, key[1].interval):
            assert at % STEP == 0
            due.setdefault(round(at / STEP), []).append(key)
    found: dict[tuple[int, Rhythm], np.ndarray] = {
        key: reduce(np.kron, [part.tested.get(key, np.eye(len(part.down))) for part in parts]) for key in clocks
    }
    for number in range(round(mission / STEP)):
        for key in due.get(number, []):
            state = state @ found[key]
        spent = state @ integral
        total += float(spent[down].sum())
        failures += float(spent @ into)
        state = state @ step
    return total / mission, failures / mission


def _device(rate: float, dd: float, *sought: tuple[float, float, float]) -> tuple[Device]:
    """One device: rates [1/h], and for each test its share, interval and offset [h]."""
    return (Device(rate, dd, tuple(Sought(share, Rhythm(interval, offset)) for share, interval, offset in sought)),)


YEAR = 8760.0
GROUPS = {
    "1oo1 with repair": Group(Voting(1, 1), (_device(2e-6, 1e-6, (1.0, YEAR, 0.0)),), 24.0, 48.0),
    "1oo2 with all": Group(
        Voting(1, 2), (_device(5e-6, 2e-6, (1.0, 2190.0, 0.0)),) * 2, 72.0, 24.0, beta=0.1, beta_d=0.05
    ),
    "1oo2 staggered": Group(
        Voting(1, 2), tuple(_device(5e-6, 0.0, (1.0, YEAR, offset)) for offset in (0.0, 4380.0)), 72.0, 24.0, beta=0.1
    ),
    "2oo2 has nothing in common": Group(
        Voting(2, 2), (_device(5e-6, 1e-6, (1.0, YEAR, 0.0)),) * 2, 72.0, 24.0, beta=0.1, beta_d=0.1
    ),
    "2oo3 staggered": Group(
        Voting(2, 3),
        tuple(_device(5e-6, 0.0, (1.0, YEAR, offset)) for offset in (0.0, 2922.0, 5844.0)),
        48.0,
        24.0,
        0.08,
    ),
    "2oo3 staggered, others checked": Group(
        Voting(2, 3),
        tuple(_device(5e-6, 0.0, (1.0, YEAR, offset)) for offset in (0.0, 2922.0, 5844.0)),
        48.0,
        24.0,
        beta=0.08,
        check_others=True,
    ),
    "1oo2 unlike": Group(
        Voting(1, 2),
        (_device(5e-6, 1e-6, (1.0, YEAR, 0.0)), _device(2e-6, 4e-6, (1.0, YEAR, 4380.0))),
        48.0,
        96.0,
        beta=0.08,
        beta_d=0.03,
    ),
    "1oo2 with partial tests": Group(
        Voting(1, 2), (_device(5e-6, 0.0, (0.6, 2190.0, 0.0), (0.4, YEAR, 0.0)),) * 2, 48.0, 24.0, beta=0.1
    ),
    "1oo2 with unlike tests": Group(
        Voting(1, 2),
        (_device(5e-6, 0.0, (0.6, 720.0, 0.0), (0.4, YEAR, 0.0)), _device(5e-6, 0.0, (1.0, 2190.0, 0.0))),
        48.0,
        24.0,
        beta=0.1,
    ),
    "1oo1 first tested late": Group(Voting(1, 1), (_device(2e-6, 0.0, (1.0, YEAR, 2190.0)),), 24.0, 24.0),
    "1oo1 in slow repair": Group(Voting(1, 1), (_device(2e-4, 1e-4, (1.0, 720.0, 0.0)),), 480.0, 240.0),
}


@pytest.mark.parametrize("group", GROUPS.values(), ids=GROUPS)
def test_the_mean_and_the_rate_of_failing_are_those_of_the_chain(group: Group) -> None:
    down, failing = chain_means(group, MISSION)
    assert mean_down(group, MISSION) == pytest.approx(down, rel=AGREED)
    assert mean_failing(group, MISSION, detected=True) == pytest.approx(failing, rel=AGREED)
