"""PFDavg and PFH of a voted group (IEC 61508-6:2010 Annex B, generalised to MooN).

Every beta may be a number or an array; the result has the same shape, so that a curve against beta is one call.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import factorial, fsum, inf, prod

from scoring.limits import OutOfRange, within
from scoring.units import Fraction, Fractions, Hours, PerHour
from scoring.voting import SINGLE, Voting


@dataclass(frozen=True, slots=True)
class Rates:
    """Dangerous failure rates of one channel [1/h]: undetected and detected."""

    du: PerHour
    dd: PerHour

    def __post_init__(self) -> None:
        if not (0.0 <= self.du < inf and 0.0 <= self.dd < inf and self.du + self.dd > 0.0):
            raise OutOfRange("rates", (self.du, self.dd), "must be finite, none below 0 and not both 0")

    @property
    def d(self) -> PerHour:
        """All dangerous failures."""
        return self.du + self.dd

    @property
    def coverage(self) -> Fraction:
        """Diagnostic coverage lambda_DD / lambda_D."""
        return self.dd / self.d


@dataclass(frozen=True, slots=True)
class Upkeep:
    """Test and repair of a group [h]: proof-test interval T1, its coverage, full interval T2, MRT and MTTR."""

    interval: Hours
    coverage: Fraction
    full_interval: Hours
    mrt: Hours
    mttr: Hours

    def __post_init__(self) -> None:
        within("proof-test coverage", self.coverage, 0.0, 1.0)
        for name in ("interval", "full_interval", "mrt", "mttr"):
            within(name, getattr(self, name), 0.0, 1e9)

    def undetected_down(self, order: int) -> Hours:
        """Mean down time of an undetected failure, PTC (T1/order + MRT) + (1 - PTC) (T2/order + MRT)."""
        found = self.coverage * (self.interval / order + self.mrt)
        return found + (1.0 - self.coverage) * (self.full_interval / order + self.mrt)


@dataclass(frozen=True, slots=True)
class Split:
    """A result in its two parts: failures of single channels that coincide, and failures shared by all."""

    independent: Fractions
    shared: Fractions

    @property
    def total(self) -> Fractions:
        """Both parts together."""
        return self.independent + self.shared


def in_series(devices: Sequence[Rates]) -> Rates:
    """Rates of a channel whose devices stand in series: any one of them fails it."""
    return Rates(fsum(one.du for one in devices), fsum(one.dd for one in devices))


def representative(channels: Sequence[Rates]) -> Rates:
    """One channel that stands for all: the geometric mean of the rates where the channels differ (approximation)."""
    first = channels[0]
    if all(channel == first for channel in channels):
        return first
    n = len(channels)
    return Rates(prod(c.du for c in channels) ** (1.0 / n), prod(c.dd for c in channels) ** (1.0 / n))


def _down_time(rates: Rates, upkeep: Upkeep, i: int) -> Hours:
    """t_i, the mean time that the i-th failure lasts."""
    undetected = rates.du / rates.d * upkeep.undetected_down(i + 1)
    return undetected + rates.dd / rates.d * upkeep.mttr


def _independent_rate(rates: Rates, beta: Fractions, beta_d: Fractions) -> Fractions:
    return (1.0 - beta_d) * rates.dd + (1.0 - beta) * rates.du


def _check(beta: Fractions, beta_d: Fractions) -> None:
    within("beta", beta, 0.0, 1.0)
    within("beta_D", beta_d, 0.0, 1.0)


def pfd(*, voting: Voting, rates: Rates, upkeep: Upkeep, beta: Fractions = 0.0, beta_d: Fractions = 0.0) -> Split:
    """Average probability of failure on demand of a MooN group.

    k = N - M + 1 failures defeat the group. With lam = (1 - beta_D) lambda_DD + (1 - beta) lambda_DU:
    independent N!/(M-1)! prod_{i=1..k} lam t_i; shared beta_D lambda_DD MTTR + beta lambda_DU t_shared.
    With N = M every failure counts, N lambda_D t_1, and there is no shared part.

    Parameters
    ----------
    beta, beta_d
        Shared fraction of undetected and of detected failures, voting factor included; number or array.

    Examples
    --------
    IEC 61508-6:2010 Table B.3 neighbourhood, 1oo2, lambda_D 5e-6/h, DC 0, beta 10 %, T1 1 year, MTTR = MRT = 8 h:

    >>> year = Upkeep(interval=8760, coverage=1.0, full_interval=8760, mrt=8, mttr=8)
    >>> f"{pfd(voting=Voting(1, 2), rates=Rates(5e-6, 0.0), upkeep=year, beta=0.1).total:.1e}"
    '2.7e-03'

    Source: IEC 61508-6:2010, B.3.2.2 and B.3.2.5 (from memory; checked against recalled table values).
    """
    _check(beta, beta_d)
    if not voting.redundant:
        return Split(voting.n * rates.d * _down_time(rates, upkeep, 1) + 0.0 * beta, 0.0 * beta)
    lam = _independent_rate(rates, beta, beta_d)
    independent: Fractions = float(factorial(voting.n) // factorial(voting.m - 1))
    for i in range(1, voting.tolerance + 2):
        independent = independent * (lam * _down_time(rates, upkeep, i))
    return Split(independent, beta_d * rates.dd * upkeep.mttr + beta * rates.du * upkeep.undetected_down(2))


def pfh(*, voting: Voting, rates: Rates, upkeep: Upkeep, beta: Fractions = 0.0, beta_d: Fractions = 0.0) -> Split:
    """Average frequency of dangerous failure [1/h] of a MooN group whose process is tripped on a detected failure.

    N = M: N lambda_DU. Else independent N!/(M-1)! (1 - beta) lambda_DU prod_{i=1..k-1} lam t_i, shared beta lambda_DU.

    Published work finds the 2010 forms incomplete, so the edition is named beside every result.

    >>> year = Upkeep(interval=8760, coverage=1.0, full_interval=8760, mrt=0, mttr=0)
    >>> f"{pfh(voting=Voting(1, 2), rates=Rates(1e-6, 0.0), upkeep=year, beta=0.1).total:.5e}"
    '1.07096e-07'

    Source: IEC 61508-6:2010, B.3.3.2 (from memory; the example is the general approximation in Rausand 2014, ch. 9).
    """
    _check(beta, beta_d)
    if not voting.redundant:
        return Split(voting.n * rates.du + 0.0 * beta, 0.0 * beta)
    lam = _independent_rate(rates, beta, beta_d)
    independent = factorial(voting.n) // factorial(voting.m - 1) * ((1.0 - beta) * rates.du)
    for i in range(1, voting.tolerance + 1):
        independent = independent * (lam * _down_time(rates, upkeep, i))
    return Split(independent, beta * rates.du)


def single(measure: str, *, rates: Rates, upkeep: Upkeep) -> float:
    """The same measure ("pfd" or "pfh") for one channel on its own."""
    return float({"pfd": pfd, "pfh": pfh}[measure](voting=SINGLE, rates=rates, upkeep=upkeep).total)


def outside_range(rates: Rates, upkeep: Upkeep) -> bool:
    """Whether lambda_D T1 exceeds 0.1, where the equations begin to run high (common practice limit)."""
    return rates.d * upkeep.interval > 0.1
