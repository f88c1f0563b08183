"""What redundancy bought, and what shared causes and cyber exposure left of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum, inf, log

from scoring.limits import within


@dataclass(frozen=True, slots=True)
class Cases:
    """The four cases of one measure, PFDavg [-] or PFH [1/h], always together.

    single: every group replaced by one of its channels. ideal: voted, nothing shared. scored: voted, beta from the
    common-cause answers. adjusted: voted, beta after the security answers.
    """

    single: float
    ideal: float
    scored: float
    adjusted: float

    @property
    def benefit_ideal(self) -> float:
        """Factor that voting would buy if the channels shared nothing."""
        return self.single / self.ideal

    @property
    def benefit_kept(self) -> float:
        """Factor that is left of it."""
        return self.single / self.adjusted

    @property
    def share_kept(self) -> float | None:
        """Kept part of the bought decades, ln(kept) / ln(ideal); None where voting buys nothing.

        >>> round(Cases(single=1e-2, ideal=1e-4, scored=1e-3, adjusted=1e-3).share_kept, 3)
        0.5
        """
        return log(self.benefit_kept) / log(self.benefit_ideal) if self.benefit_ideal > 1.0 else None


def together(parts: Iterable[Cases]) -> Cases:
    """Cases of a function: the sum of its groups, case by case."""
    held = tuple(parts)
    return Cases(*(fsum(getattr(one, case) for one in held) for case in Cases.__dataclass_fields__))


def break_even(*, pfd: float, target_rrf: float) -> float | None:
    """Probability of a compromise at the time of a demand at which the target is just missed.

    p = (1/target - PFD) / (1 - PFD); None where the target is missed without any compromise. It is a property of the
    function, not an estimate of anything: no probability of an attack is computed.

    >>> round(break_even(pfd=1e-3, target_rrf=500), 6)
    0.001001
    """
    within("PFD", pfd, 0.0, inf)  # outside their range the equations exceed 1; nothing is clamped
    within("target RRF", target_rrf, 1.0, inf)
    room = 1.0 / target_rrf - pfd
    return room / (1.0 - pfd) if room >= 0.0 else None
