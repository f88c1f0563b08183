"""How a printed number is compared, and the plain case that most sources print."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from scoring.equipment import Rates, Split, Upkeep
from scoring.redundancy.annex_b_edition_1 import pfd
from scoring.units import HOURS_PER_YEAR, Fraction, Hours, PerHour
from scoring.voting import Voting, read

YEAR: Hours = HOURS_PER_YEAR


def half_unit(text: str) -> float:
    """Half a unit in the last printed digit.

    >>> half_unit("4.58E-04")
    5e-07
    """
    exponent = Decimal(text).as_tuple().exponent
    assert isinstance(exponent, int)
    return float(Decimal("0.5").scaleb(exponent))


def printed(text: str) -> Any:
    """A printed number, equal to whatever rounds to it.

    >>> 4.5845e-4 == printed("4.58E-04"), 4.5861e-4 == printed("4.58E-04")
    (True, False)
    """
    return pytest.approx(float(text), rel=0.0, abs=half_unit(text))


def perfect_test(interval: Hours) -> Upkeep:
    """A perfect proof test and no time lost in repair."""
    return Upkeep.proof_test(interval=interval, coverage=1.0, full_interval=interval, mrt=0.0, mttr=0.0)


def undetected_only(arch: str, *, lambda_du: PerHour, interval: Hours, beta: Fraction = 0.0) -> Split:
    """PFDavg of a group without diagnostics, with a perfect proof test and no time lost in repair."""
    return pfd(voting=read(arch), rates=Rates(lambda_du, 0.0), upkeep=perfect_test(interval), beta=beta)


def highest_excess(voting: Voting) -> float:
    """Factor c such that the rare-event equation lies above the exact mean by at most c lambda T of its own value.

    With k = N - M + 1, y = lambda t and p = 1 - exp(-y): Bonferroni gives P(k or more of N failed) >= C(N,k) p^k
    - k C(N,k+1) p^(k+1), and p lies between y - y^2/2 and y, so that P >= C(N,k) y^k (1 - k y/2 - k (N-k)/(k+1) y).
    The mean over 0..T of y^k is (lambda T)^k / (k+1), of y^(k+1) it is (lambda T)^(k+1) / (k+2). Together
    c = k/(k+2) ((k+1)/2 + N - k). A shared part only makes it smaller.

    >>> [round(highest_excess(read(arch)), 3) for arch in ("1oo1", "1oo2", "2oo3", "4oo8")]
    [0.333, 0.75, 1.25, 4.286]
    """
    k = voting.tolerance + 1
    return k / (k + 2) * ((k + 1) / 2 + voting.n - k)
