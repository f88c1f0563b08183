"""Conventions for the MooN factor, from the beta of a pair to that of a MooN group: a published table, or the factor 1."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from scoring.method import About
from scoring.source import table
from scoring.voting import Voting, VotingRefused


@dataclass(frozen=True, slots=True)
class PrintedFactor:
    """A convention with published factors: the file of ``scoring/tables`` that prints them, None for the factor 1."""

    about: About
    table: str | None

    def factor(self, voting: Voting) -> float:
        """Factor k(M,N) by which the beta of a 1oo2 group is multiplied; N - M >= 1.

        No value is extrapolated: raises VotingRefused for a voting that the table does not print.

        >>> TABLE_D5.factor(Voting(2, 3)), PDS_2013.factor(Voting(2, 3)), NONE.factor(Voting(2, 3))
        (1.5, 2.0, 1.0)
        """
        if not voting.redundant:
            raise VotingRefused(f"{voting} survives no failure, so it has no beta and no MooN factor")
        if self.table is None or voting.diagnostic:  # 1oo2D: beta is that of a pair (IEC 61508-6:2010, B.3.2.2.4)
            return 1.0
        printed = _printed(self.table)
        if str(voting) not in printed:
            raise VotingRefused(f"{voting} has no factor in {self.about.id}; it prints {', '.join(printed)}")
        return printed[str(voting)]


@cache
def _printed(name: str) -> dict[str, float]:
    return {row["voting"]: row["values"][0] for row in table(name).rows}


TABLE_D5 = PrintedFactor(
    About(
        id="iec61508-6-2010",
        edition=1,
        label="IEC 61508-6:2010 Table D.5",
        source="IEC 61508-6:2010, Annex D, Table D.5",
        confidence="memory",
        valid="N up to 5, as printed",
        formula=("beta = min(1, beta_int x factor)",),
    ),
    "iec61508_6_2010_d5",
)
PDS_2013 = PrintedFactor(
    About(
        id="pds-2013",
        edition=1,
        label="PDS 2013 (C_MooN)",
        source="SINTEF PDS method handbook 2013, configuration factors C_MooN",
        confidence="memory",
        valid="N up to 6, as printed",
        formula=("beta = min(1, beta_int x C_MooN)",),
    ),
    "pds_2013_c_moon",
)
NONE = PrintedFactor(
    About(
        id="none",
        edition=1,
        label="none",
        source="plain beta of a pair for every voting",
        confidence="house rule",
        valid="a cautious reading for 1oo3 and better, an optimistic one for 2oo3",
        formula=("beta = beta_int",),
    ),
    None,
)
