"""MooN voting: M of the N channels of a group must act for the group to act."""

from __future__ import annotations

import re
from dataclasses import dataclass

MOST_CHANNELS = 8


class VotingRefused(ValueError):
    """A voting that cannot be read, or that has no factor in the chosen convention."""


@dataclass(frozen=True, slots=True)
class Voting:
    """M out of N, 1 <= M <= N <= 8; raises VotingRefused for other numbers."""

    m: int
    n: int

    def __post_init__(self) -> None:
        if not 1 <= self.m <= self.n <= MOST_CHANNELS:
            raise VotingRefused(f"{self} is not possible: M must lie between 1 and N, N at most {MOST_CHANNELS}")

    def __str__(self) -> str:
        return f"{self.m}oo{self.n}"

    @property
    def tolerance(self) -> int:
        """Dangerous channel failures that the group survives, N - M."""
        return self.n - self.m

    @property
    def redundant(self) -> bool:
        """Whether the group survives at least one dangerous channel failure."""
        return self.tolerance >= 1


SINGLE = Voting(1, 1)


def read(text: str) -> Voting:
    """Voting from a text such as ``2oo3``; raises VotingRefused.

    >>> read("2oo3")
    Voting(m=2, n=3)
    """
    match = re.fullmatch(r"([1-9])oo([1-9])", text)
    if match is None:
        raise VotingRefused(f"{text!r} is no voting: write M, two letters o, N, as in 2oo3")
    return Voting(int(match[1]), int(match[2]))
