"""Conventions for the MooN factor, from the beta of a pair to that of a MooN group: a published table, or the factor 1."""

from __future__ import annotations

from dataclasses import dataclass

from scoring import voting as vote
from scoring.method import About
from scoring.voting import Voting


@dataclass(frozen=True, slots=True)
class PrintedFactor:
    """A convention with published factors; a voting that its table does not print is refused."""

    about: About

    def factor(self, voting: Voting) -> float:
        """Factor k(M,N); raises VotingRefused for a voting without a printed factor."""
        return vote.factor(voting, self.about.id)


TABLE_D5 = PrintedFactor(
    About(
        id="iec61508-6-2010",
        edition=1,
        label="IEC 61508-6:2010 Table D.5",
        source="IEC 61508-6:2010, Annex D, Table D.5",
        confidence="memory",
        valid="N up to 5, as printed",
        formula=("beta = min(1, beta_int x factor)",),
    )
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
    )
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
    )
)
