"""The range of dates that somebody may enter; what an earlier release stored is read whatever its date."""

from __future__ import annotations

from datetime import date

FIRST, LAST = date(1950, 1, 1), date(2100, 12, 31)
"""Dates outside this range are typing errors, such as the year 0225 (house rule)."""
RANGE = f"from {FIRST.year} to {LAST.year}"
ALLOWED = f"a date, as in 2025-03-04, {RANGE}"


def enterable(text: str) -> bool:
    """Whether a text is a date in the form 2025-03-04 within the range. Only this form, since dates are compared as text.

    >>> enterable("2025-03-04"), enterable("20250304"), enterable("0225-03-04"), enterable("2999-01-01")
    (True, False, False, False)
    """
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return False
    return day.isoformat() == text and FIRST <= day <= LAST
