"""Invariants of range checks and units."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.limits import OutOfRange, within
from scoring.units import FIT_PER_PER_HOUR, per_hour


@given(value=st.floats(allow_nan=True, allow_infinity=True))
def test_a_value_is_refused_by_name_unless_it_lies_in_the_range(value: float) -> None:
    if 0.0 <= value <= 1.0:
        within("share", value, 0.0, 1.0)
    else:
        with pytest.raises(OutOfRange, match=r"^share is .* must lie between 0\.0 and 1\.0$") as refusal:
            within("share", value, 0.0, 1.0)
        assert refusal.value.name == "share"


@given(values=st.lists(st.floats(0.0, 1.0), min_size=1, max_size=5), at=st.integers(0, 4))
def test_one_bad_element_refuses_the_array(values: list[float], at: int) -> None:
    within("share", np.array(values), 0.0, 1.0)
    values[at % len(values)] = float("nan")
    with pytest.raises(OutOfRange, match=r"^share is "):
        within("share", np.array(values), 0.0, 1.0)


@given(fit=st.floats(0.0, 1e6))
def test_a_rate_in_fit_is_failures_in_a_thousand_million_hours(fit: float) -> None:
    assert per_hour(fit) * FIT_PER_PER_HOUR == pytest.approx(fit, rel=1e-15)
