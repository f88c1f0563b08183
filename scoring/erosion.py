"""What redundancy gains, and how much of it common cause and cyber exposure take away."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum, inf, log

from scoring.limits import within


@dataclass(frozen=True, slots=True)
class Cases:
    """The four cases of one measure, PFDavg [-] or PFH [1/h].

    single: one channel in place of each group. ideal: voted, no common cause. scored: voted, with common cause (beta from
    the common-cause answers). adjusted: voted, with common cause and cyber scenario (beta raised by the security answers).
    """

    single: float
    ideal: float
    scored: float
    adjusted: float

    @property
    def benefit_ideal(self) -> float:
        """Factor gained by redundancy without common cause: single / ideal."""
        return self.single / self.ideal

    @property
    def benefit_kept(self) -> float:
        """Factor gained by redundancy with common cause and cyber scenario: single / adjusted."""
        return self.single / self.adjusted

    @property
    def share_kept(self) -> float | None:
        """Share of the gained decades that is kept, ln(benefit_kept) / ln(benefit_ideal); None without a gain.

        >>> round(Cases(single=1e-2, ideal=1e-4, scored=1e-3, adjusted=1e-3).share_kept, 3)
        0.5
        """
        return log(self.benefit_kept) / log(self.benefit_ideal) if self.benefit_ideal > 1.0 else None


def sum_of_groups(parts: Iterable[Cases]) -> Cases:
    """Cases of a safety function: the sum over its groups, case by case."""
    groups = tuple(parts)
    return Cases(*(fsum(getattr(group, case) for group in groups) for case in Cases.__dataclass_fields__))


def break_even(*, pfd: float, target_rrf: float) -> float | None:
    """Probability of a compromise at the time of a demand at which the target is only just met.

    p = (1/target - PFD) / (1 - PFD); None where the target is missed without any compromise. It describes the
    safety function; it does not estimate the probability of an attack. Raises OutOfRange.

    >>> round(break_even(pfd=1e-3, target_rrf=500), 6)
    0.001001
    """
    within("PFD", pfd, 0.0, inf)  # no upper limit: outside their range of validity the equations may exceed 1
    within("target RRF", target_rrf, 1.0, inf)
    room = 1.0 / target_rrf - pfd
    return room / (1.0 - pfd) if room >= 0.0 else None
