"""MooN voting: M of the N channels of a group must act for the group to act."""

from __future__ import annotations

import re
from dataclasses import dataclass

MOST_CHANNELS = 8


class VotingRefused(ValueError):
    """A voting that cannot be read, or that has no factor in the chosen convention."""


@dataclass(frozen=True, slots=True)
class Voting:
    """M out of N, 1 <= M <= N <= 8; raises VotingRefused for other numbers.

    ``diagnostic``: a D architecture, in which diagnostics switch a faulty channel off.
    """

    m: int
    n: int
    diagnostic: bool = False

    def __post_init__(self) -> None:
        if not 1 <= self.m <= self.n <= MOST_CHANNELS:
            raise VotingRefused(f"{self} is not possible: M must lie between 1 and N, N at most {MOST_CHANNELS}")
        if self.diagnostic and (self.m, self.n) != (1, 2):
            raise VotingRefused(
                f"{self}: of the D architectures only 1oo2D has an equation; state the result of others"
            )

    def __str__(self) -> str:
        return f"{self.m}oo{self.n}{'D' if self.diagnostic else ''}"

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

    >>> str(read("2oo3")), str(read("1oo2D"))
    ('2oo3', '1oo2D')
    """
    match = re.fullmatch(r"([1-9])oo([1-9])(D?)", text)
    if match is None:
        raise VotingRefused(f"{text!r} is no voting: write M, two letters o, N, as in 2oo3")
    return Voting(int(match[1]), int(match[2]), diagnostic=bool(match[3]))
