"""Which test finds a shared failure in each channel: the shares of the undetected failures of all channels side by side."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from scoring.timeline.group import Channel, Element
from scoring.timeline.instants import Rhythm
from scoring.units import Fractions

SAME = 1e-12
"""Difference of two shares of failures that is rounding only."""
Weighted = list[tuple[Fractions, Rhythm | None]]
"""Shares of the undetected failures of a channel with the tests that find them, the most frequent test first."""


def sums(channel: Channel) -> tuple[Fractions, Fractions, Weighted]:
    """Rates [1/h] of a channel, undetected and detected, and which share of the undetected is found by which test.

    A redundant element counts as one device: what fails all channels fails all its devices.
    """
    devices = [part.as_one if isinstance(part, Element) else part for part in channel]
    found = [(device.du * sought.share, sought.test) for device in devices for sought in device.sought]
    total, dd = sum(rate for rate, _ in found), sum(device.dd for device in devices)
    shares = [(rate / total if np.all(total) else 1.0 / len(found), test) for rate, test in found]
    return total, dd, sorted(shares, key=lambda share: share[1].interval if share[1] else np.inf)


def side_by_side(channels: list[Weighted]) -> Iterator[tuple[Fractions, list[Rhythm | None]]]:
    """Shares of a shared failure with the test that finds it in each channel.

    Channels with like shares are paired one by one; others are laid side by side from the share that is found first, with the means
    of their shares where several groups are calculated together.
    """
    shares = [[share for share, _ in channel] for channel in channels]
    if all(len(one) == len(shares[0]) and all(map(np.allclose, one, shares[0])) for one in shares):
        for together in zip(*channels, strict=True):
            yield together[0][0], [test for _, test in together]
        return
    ends = [np.cumsum([float(np.mean(share)) for share in one]) for one in shares]
    cuts = np.unique(np.round(np.concatenate(ends), 12))
    for low, high in zip([0.0, *cuts], cuts, strict=False):
        if high - low > SAME:
            places = [min(int(np.searchsorted(end, (low + high) / 2.0)), len(end) - 1) for end in ends]
            yield high - low, [channel[place][1] for channel, place in zip(channels, places, strict=True)]
