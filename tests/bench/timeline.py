"""The timeline: ten thousand groups at once, and one group beside a Markov chain with kept matrix exponentials.

``python -m tests.bench.timeline`` prints this part alone.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from time import process_time

import numpy as np
from scipy.linalg import expm

from scoring.timeline import means
from scoring.timeline.group import Device, Group, Sought
from scoring.timeline.instants import Rhythm
from scoring.voting import Voting
from tests.bench.figures import Line, once, table
from tests.scoring.timeline import markov

MISSION = 131_400.0
MANY = 10_000
REPEATED = 3
BATCH = 2_000
YEAR = 8760.0


def _many(count: int) -> Group:
    """2oo3 of unlike channels, two classes of tests, detected failures, staggered."""
    rng = np.random.default_rng(1)
    channels = []
    for partial, full in ((0.0, 0.0), (730.0, 2920.0), (1460.0, 5840.0)):
        tests = (Sought(0.6, Rhythm(2190.0, partial)), Sought(0.4, Rhythm(YEAR, full)))
        channels.append((Device(rng.uniform(5e-7, 5e-6, count), rng.uniform(5e-7, 5e-6, count), tests),))
    betas = rng.uniform(0.01, 0.1, (2, count))
    return Group(Voting(2, 3), tuple(channels), 24.0, 24.0, *betas)


def _chains() -> list[Group]:
    """Groups whose chain has from a few states to a few hundred."""

    def device(dd: float, *tests: tuple[float, float]) -> tuple[Device]:
        share = 1.0 / len(tests)
        return (Device(2e-6, dd, tuple(Sought(share, Rhythm(every, offset)) for every, offset in tests)),)

    one = ((YEAR, 0.0),)
    return [
        Group(Voting(1, 1), (device(1e-6, *one),), 24.0, 24.0),
        Group(Voting(1, 2), (device(0.0, *one),) * 2, 24.0, 24.0, 0.1),
        Group(
            Voting(2, 3), (device(0.0, *one), device(0.0, (YEAR, 2922.0)), device(0.0, (YEAR, 5844.0))), 24.0, 24.0, 0.1
        ),
        Group(Voting(1, 2), (device(1e-6, *one),) * 2, 24.0, 24.0, 0.1, 0.05),
    ]


def _least(what: Callable[[], object], times: int) -> float:
    return min(once(what)[1] for _ in range(times))


def _at_once(group: Group) -> float:
    """Time of one of many such groups with other rates and betas [s of one processor]."""
    rng = np.random.default_rng(1)

    def devices(channel: tuple[Device, ...]) -> tuple[Device, ...]:
        return tuple(replace(device, du=device.du * rng.uniform(0.5, 2.0, BATCH)) for device in channel)

    alike = {id(channel): devices(channel) for channel in group.channels}
    channels = tuple(alike[id(channel)] for channel in group.channels)
    batch = replace(group, channels=channels, beta=rng.uniform(0.01, 0.1, BATCH))
    before = process_time()
    for _ in range(REPEATED):
        means.mean_down(batch, MISSION)
    return (process_time() - before) / REPEATED / BATCH


def _beside_chain(group: Group) -> list[Line]:
    """The chain; the exponential of each different phase is made once for a group, or was made before. Both means agree to 1e-9."""
    chain, made = markov.Chain(group), dict[tuple[int, float], np.ndarray]()

    def kept(matrix: np.ndarray) -> np.ndarray:
        key = len(matrix), float(matrix[0, -len(matrix) // 2])  # the length of the phase stands in the integral
        if key not in made:
            made[key] = expm(matrix)
        return made[key]

    name = f"timeline: chain of {chain.states} states, {group.voting}"
    took = [once(lambda: chain.means(MISSION, expm, MISSION))[1] for _ in range(REPEATED)]
    chain.means(MISSION, kept, MISSION)
    again = [once(lambda: chain.means(MISSION, kept, MISSION))[1] for _ in range(REPEATED)]
    ours, of_many = _least(lambda: means.mean_down(group, MISSION), REPEATED), _at_once(group)
    return [
        Line(
            f"{name}, exponentials made",
            took,
            said=f"timeline {ours * 1e3:.1f} ms, {min(took) / ours:,.0f} times faster",
        ),
        Line(
            f"{name}, exponentials kept",
            again,
            said=f"{min(again) / ours:,.1f} times; one of {BATCH:,} {of_many * 1e6:.0f} us, {min(again) / of_many:,.0f} times faster",
        ),
    ]


def measure() -> list[Line]:
    """Measured times of the timeline."""
    many = _many(MANY)
    means.mean_down(_many(2), MISSION)  # what depends on the tests only
    before = process_time()
    took = [once(lambda: means.mean_down(many, MISSION))[1] for _ in range(REPEATED)]
    said = f"{(process_time() - before) / REPEATED:.2f} s of one processor"
    lines = [Line(f"timeline: {MANY:,} groups 2oo3, staggered, unlike", took, 1.0, said=said)]
    return lines + [line for group in _chains() for line in _beside_chain(group)]


if __name__ == "__main__":
    print(table(measure()))
    sys.exit(0)
