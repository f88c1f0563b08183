"""Failure rate from a number of failures in a cumulative time in service, with its 90 % interval."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from scoring.field_data.quantiles import LEVELS, Quantiles, Standing, standing
from scoring.limits import OutOfRange, within
from scoring.method import About
from scoring.units import Hours, PerHour

OBSERVED_RATES = About(
    id="observed-rates",
    edition=1,
    label="failure rate observed in service",
    source=(
        "chi-squared interval of a constant failure rate, time-terminated, after IEC 60605-4 (from memory); Jeffreys' gamma "
        "interval, NUREG/CR-6823 (from memory)"
    ),
    confidence="memory",
    valid=(
        "constant rate; failures independent of each other: channels failed by one shared cause make the interval too narrow; "
        "every failure of the period found and recorded"
    ),
    formula=(
        "lambda = n / T",
        "90 % interval: chi2(0.05; 2n) / 2T to chi2(0.95; 2n + 2) / 2T, the lower end 0 for n = 0",
        "Jeffreys: lambda ~ Gamma(n + 0.5; T)",
    ),
)


@dataclass(frozen=True, slots=True)
class ObservedRate:
    """A rate [1/h] from ``failures`` in ``hours`` of service of all devices together.

    ``low`` and ``high`` are the chi-squared interval, ``jeffreys`` the quantiles of the gamma distribution [1/h].
    """

    failures: int
    hours: Hours
    estimate: PerHour
    low: PerHour
    high: PerHour
    jeffreys: Quantiles

    def standing(self, assumed: PerHour) -> Standing:
        """Where an assumed rate lies beside the 90 % interval."""
        return standing(assumed, low=self.low, high=self.high)


def observed_rate(*, failures: int, hours: Hours) -> ObservedRate:
    """The rate of ``failures`` in ``hours`` of service; raises OutOfRange.

    >>> rate = observed_rate(failures=0, hours=1e6)
    >>> rate.low, round(rate.high * 1e6, 3)
    (0.0, 2.996)
    """
    from scipy.special import gammaincinv

    within("failures", failures, 0, 10**6)
    if not 0.0 < hours < inf:
        raise OutOfRange("hours", hours, "must be above 0: without time in service there is no rate")
    # A quantile of chi-squared with 2n degrees of freedom is twice that of the gamma distribution of shape n.
    low = float(gammaincinv(failures, LEVELS[0])) / hours if failures else 0.0
    high = float(gammaincinv(failures + 1, LEVELS[2])) / hours
    jeffreys = Quantiles(*(float(gammaincinv(failures + 0.5, level)) / hours for level in LEVELS))
    return ObservedRate(failures, hours, failures / hours, low, high, jeffreys)
