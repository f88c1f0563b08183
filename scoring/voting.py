"""MooN voting: M of the N channels of a group must act for the group to act."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from scoring.source import table

MOST_CHANNELS = 8
CONVENTIONS = {"iec61508-6-2010": "iec61508_6_2010_d5", "pds-2013": "pds_2013_c_moon", "none": None}
"""Conventions for the MooN factor, each with the file of its table."""


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


@cache
def _factors(convention: str) -> dict[str, float]:
    name = CONVENTIONS[convention]
    return {} if name is None else {row["voting"]: row["values"][0] for row in table(name).rows}


def factor(voting: Voting, convention: str) -> float:
    """Factor k(M,N) by which the beta of a 1oo2 group is multiplied; N - M >= 1.

    No value is extrapolated: raises VotingRefused for a voting that the table does not print.

    >>> factor(Voting(2, 3), "iec61508-6-2010"), factor(Voting(2, 3), "pds-2013")
    (1.5, 2.0)

    Source: IEC 61508-6:2010 Annex D Table D.5; SINTEF PDS method handbook 2013, C_MooN (both from memory).
    """
    if not voting.redundant:
        raise VotingRefused(f"{voting} survives no failure, so it has no beta and no MooN factor")
    if convention not in CONVENTIONS:
        raise VotingRefused(f"{convention!r} is no convention for the MooN factor; known are {', '.join(CONVENTIONS)}")
    if convention == "none":
        return 1.0
    printed = _factors(convention)
    if str(voting) not in printed:
        raise VotingRefused(f"{voting} has no factor in {convention}; it prints {', '.join(printed)}")
    return printed[str(voting)]
