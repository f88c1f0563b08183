"""The timeline: ten thousand groups at once, and one group beside a Markov chain with kept matrix exponentials.

``python -m tests.bench.timeline`` prints this part alone.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
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


def _beside_chain(group: Group) -> Line:
    """The chain with the exponential of each different phase made once; its mean is the same to about 1e-9."""
    chain = markov.Chain(group)
    took = [once(lambda: chain.means(MISSION, expm, MISSION))[1]]
    ours = _least(lambda: means.mean_down(group, MISSION), 5)
    said = f"timeline {ours * 1e3:.1f} ms, {took[0] / ours:,.0f} times faster"
    return Line(f"timeline: chain of {chain.states} states, {group.voting}", took, said=said)


def measure() -> list[Line]:
    """Measured times of the timeline."""
    many = _many(MANY)
    means.mean_down(_many(2), MISSION)  # what depends on the tests only
    before = process_time()
    took = [once(lambda: means.mean_down(many, MISSION))[1] for _ in range(REPEATED)]
    said = f"{(process_time() - before) / REPEATED:.2f} s of one processor"
    lines = [Line(f"timeline: {MANY:,} groups 2oo3, staggered, unlike", took, 1.0, said=said)]
    return lines + [_beside_chain(group) for group in _chains()]


if __name__ == "__main__":
    print(table(measure()))
    sys.exit(0)
