"""How near an assessment is, and which one starts blank."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checks.reassessment.schedule import starts_blank, state
from scoring.limits import OutOfRange

days = st.dates(date(1990, 1, 1), date(2200, 12, 31))


def test_the_first_assessment_and_every_third_re_assessment_start_blank() -> None:
    """House rule; the numbers were written out by hand."""
    assert [number for number in range(13) if starts_blank(number)] == [0, 3, 6, 9, 12]


@given(st.integers(0, 10**6))
def test_of_three_assessments_in_a_row_exactly_one_starts_blank(number: int) -> None:
    assert sum(starts_blank(number + step) for step in range(3)) == 1


def test_no_assessment_comes_before_the_first() -> None:
    with pytest.raises(OutOfRange, match="number of the revision is -1, but must be 0 or more; the first is 0"):
        starts_blank(-1)


@pytest.mark.parametrize(
    ("today", "expected"),
    [
        (date(2025, 1, 29), "not yet due"),
        (date(2025, 1, 30), "due soon"),
        (date(2025, 3, 31), "due soon"),
        (date(2025, 4, 1), "overdue"),
    ],
)
def test_an_assessment_is_due_soon_from_sixty_days_before(today: date, expected: str) -> None:
    """31 March less 60 days is 30 January: 31 in March, 28 in February, 1 in January."""
    assert state(date(2025, 3, 31), today) == expected


@given(days, st.integers(0, 400))
def test_the_status_only_gets_more_urgent_with_time(due_on: date, notice: int) -> None:
    order = ["not yet due", "due soon", "overdue"]
    states = [state(due_on, due_on + timedelta(days=step), notice) for step in range(-450, 50, 7)]
    assert states == sorted(states, key=order.index)
    assert states[0] == "not yet due"
    assert states[-1] == "overdue"


def test_without_notice_only_the_due_date_itself_is_due_soon() -> None:
    day = date(2025, 3, 31)
    assert [state(day, day + timedelta(days=step), 0) for step in (-1, 0, 1)] == ["not yet due", "due soon", "overdue"]


def test_a_notice_below_zero_is_refused() -> None:
    with pytest.raises(OutOfRange, match="notice"):
        state(date(2025, 3, 31), date(2025, 3, 31), -1)
