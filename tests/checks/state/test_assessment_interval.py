"""Due dates of assessments."""

from __future__ import annotations

from datetime import date

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from checks.state.assessment_interval import due
from scoring.limits import OutOfRange

days = st.dates(date(1990, 1, 1), date(2200, 12, 31))


@pytest.mark.parametrize(
    ("signed", "months", "expected"),
    [
        (date(2025, 3, 14), 24, date(2027, 3, 14)),
        (date(2025, 1, 31), 1, date(2025, 2, 28)),
        (date(2024, 1, 31), 1, date(2024, 2, 29)),
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2024, 2, 29), 48, date(2028, 2, 29)),
        (date(2025, 8, 31), 3, date(2025, 11, 30)),
        (date(2025, 12, 15), 1, date(2026, 1, 15)),
        (date(2025, 11, 30), 13, date(2026, 12, 30)),
    ],
)
def test_the_due_date_by_the_calendar(signed: date, months: int, expected: date) -> None:
    assert due(signed, months) == expected


@given(days, st.integers(1, 120))
def test_the_due_date_is_that_of_a_general_purpose_library(signed: date, months: int) -> None:
    """pandas, DateOffset(months=...): the same day of the month, or the last of a shorter one."""
    assert due(signed, months) == (pd.Timestamp(signed) + pd.DateOffset(months=months)).date()


@pytest.mark.parametrize("months", [0, -1, 121])
def test_an_interval_out_of_range_is_refused(months: int) -> None:
    with pytest.raises(OutOfRange, match="interval between assessments"):
        due(date(2025, 3, 14), months)
