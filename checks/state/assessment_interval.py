"""Interval between assessments of a system, and the day on which the next one is due."""

from __future__ import annotations

from calendar import monthrange
from datetime import date

from scoring.limits import within

USUAL_MONTHS = 36
"""Interval of a system without one set by the asset owner [months] (house rule: practitioners quote three to five years)."""

LONGEST_MONTHS = 120
"""Longest interval between assessments [months]; five years is the longest seen in practice (house rule)."""


def due(signed_on: date, interval_months: int) -> date:
    """Date on which the next assessment is due, ``interval_months`` [months] after the signature.

    The same day of the month, or the last day of a shorter month. Raises OutOfRange for an interval outside 1 to 120.

    >>> due(date(2025, 8, 31), 6)
    datetime.date(2026, 2, 28)
    """
    within("interval between assessments [months]", interval_months, 1, LONGEST_MONTHS)
    years, month = divmod(signed_on.month - 1 + interval_months, 12)
    year, month = signed_on.year + years, month + 1
    return date(year, month, min(signed_on.day, monthrange(year, month)[1]))
