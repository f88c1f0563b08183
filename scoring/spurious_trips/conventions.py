"""The two conventions for the spurious trip rate, side by side: as ISA-TR84.00.02 prints it, and with a beta split.

A MooN group trips when M of its channels call for a trip. It survives M - 1 safe failures, as it survives N - M dangerous
ones. Both conventions take one beta for all these failures, that of a pair, without MooN factor.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from scoring.method import About
from scoring.source import table
from scoring.spurious_trips.trip_rate import TripConvention, TripGroup, TripRate, coinciding
from scoring.voting import VotingRefused

BETA = (
    "Beta of safe failures: the beta of a pair for dangerous failures, without MooN factor, for want of a published one of their own; "
    "this is a convention."
)
"""Which beta both conventions take, as printed beside every rate."""
RARE = "rare events: lambda x MTTR of a channel up to 0.1; a channel that has called for a trip stays so for MTTR, and the voting is not changed meanwhile"


@dataclass(frozen=True, slots=True)
class Printed:
    """Simplified equations as printed: no (1 - beta) in the independent part."""

    about: About
    table: str

    def rate(self, group: TripGroup) -> TripRate:
        """Spurious trip rate of a group.

        >>> from scoring.voting import Voting
        >>> group = TripGroup(Voting(1, 2), (1e-6, 1e-6), 8.0, 0.1)
        >>> f"{ISA_TR84.rate(group).total:.2e}"
        '2.10e-06'

        Unlike channels: each set of channels with the product of its rates; the common-cause part has the geometric mean.
        Raises VotingRefused for a voting that is not printed.
        """
        printed = _printed(self.table)
        if str(group.voting) not in printed:
            raise VotingRefused(f"{group.voting} has no equation in {self.about.label}; it prints {', '.join(printed)}")
        _, order, shared = printed[str(group.voting)]
        independent = coinciding(group.rates, failures=int(order), mttr=group.mttr)
        return TripRate(independent, _common(group) if shared else 0.0)


@cache
def _printed(name: str) -> dict[str, list[float]]:
    return {row["voting"]: row["values"] for row in table(name).rows}


@dataclass(frozen=True, slots=True)
class BetaSplit:
    """Each channel fails by itself at (1 - beta) lambda, and all channels fail together at beta lambda."""

    about: About

    def rate(self, group: TripGroup) -> TripRate:
        """Spurious trip rate of a group.

        >>> from scoring.voting import Voting
        >>> group = TripGroup(Voting(1, 2), (1e-6, 1e-6), 8.0, 0.1)
        >>> f"{SPLIT.rate(group).total:.2e}"
        '1.90e-06'

        A rate without a known beta has its independent part as if beta were 0. Raises VotingRefused for a D architecture.
        """
        if group.voting.diagnostic:
            raise VotingRefused(f"{group.voting} has no equation: its diagnostics decide whether it trips")
        alone = 1.0 - (group.beta or 0.0) if group.voting.n > 1 else 1.0
        rates = tuple(alone * rate for rate in group.rates)
        independent = coinciding(rates, failures=group.voting.m, mttr=group.mttr)
        return TripRate(independent, _common(group) if group.voting.n > 1 else 0.0)


def _common(group: TripGroup) -> float | None:
    """Beta x lambda; None where no beta is known."""
    return None if group.beta is None else group.beta * group.mean


ISA_TR84 = Printed(
    About(
        id="isa-tr84-2002",
        edition=1,
        label="ISA-TR84 2002",
        source="ISA-TR84.00.02-2002 Part 2, simplified equations; the term for systematic failures is left out",
        confidence="memory",
        valid=f"1oo1 to 1oo3, 2oo2 to 2oo4, as printed; 2oo4 is printed with three failures, though two trip it; {RARE}",
        formula=(
            "STR = c lambda^k MTTR^(k-1) + beta lambda; lambda = lambda_S, plus lambda_DD where the group acts on detected failures",
            "c, k: 1oo1 1, 1; 1oo2 2, 1; 1oo3 3, 1; 2oo2 2, 2; 2oo3 6, 2; 2oo4 12, 3; no beta term for 1oo1",
        ),
    ),
    "isa_tr84_2002_2_spurious_trips",
)
SPLIT = BetaSplit(
    About(
        id="beta-split",
        edition=1,
        label="beta split",
        source="beta model of IEC 61508-6:2010, Annex B and D, applied to safe failures; derived for M of N",
        confidence="memory",
        valid=f"every MooN; not 1oo2D; {RARE}",
        formula=(
            "STR = M C(N,M) ((1 - beta) lambda)^M MTTR^(M-1) + beta lambda; 1oo1: lambda",
            "lambda = lambda_S, plus lambda_DD where the group acts on detected failures",
        ),
    )
)
CONVENTIONS: tuple[TripConvention, ...] = (ISA_TR84, SPLIT)
"""Both conventions, in the order of tables."""
