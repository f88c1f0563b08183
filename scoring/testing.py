"""Terms of the tests of a group themselves: time in test, and tests that leave the group failed.

They stand beside the independent and the common-cause part, are the same in all four cases, and never enter beta.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum

from scoring.limits import within
from scoring.units import Fraction, Hours


@dataclass(frozen=True, slots=True)
class GroupTest:
    """One test of a group: interval [h], time in test [h], and the chance that it leaves the group failed.

    ``out`` counts how often in one interval the group is out for the duration: 0 if it stays available while it is tested,
    else the number of different times at which its channels are tested.
    """

    interval: Hours
    duration: Hours
    out: int
    error: Fraction

    def __post_init__(self) -> None:
        within("interval", self.interval, 1e-9, 1e9)
        within("time in test", self.duration, 0.0, self.interval)
        within("test error", self.error, 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Terms:
    """Terms that are the same in all four cases, as PFDavg [-] or PFH [1/h]: time in test, test error, stated result."""

    time_in_test: float = 0.0
    test_error: float = 0.0
    stated: float = 0.0

    @property
    def total(self) -> float:
        """All terms together."""
        return self.time_in_test + self.test_error + self.stated


NO_TERMS = Terms()


def pfd_terms(tests: Iterable[GroupTest]) -> Terms:
    """PFDavg of the tests of one group: sum of out x duration / interval, and sum of the chances of an error.

    An error lasts until the next such test, so each test adds its whole chance.

    >>> f"{pfd_terms([GroupTest(interval=8760, duration=2, out=1, error=0.001)]).total:.3e}"
    '1.228e-03'

    Source: share of time out of service (derived).
    """
    listed = tuple(tests)
    time_in_test = fsum(test.out * test.duration / test.interval for test in listed)
    return Terms(time_in_test, fsum(test.error for test in listed))


def pfh_terms(tests: Iterable[GroupTest]) -> Terms:
    """PFH [1/h] of the tests of one group: sum of error / interval. Time in test is planned, so it is no failure."""
    return Terms(0.0, fsum(test.error / test.interval for test in tests))
