"""What holds for every element and every SIL, whatever the table."""

from __future__ import annotations

from math import inf, nan, nextafter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.architecture.fault_tolerance import Demand, Type, band, required_sil, route_1h, route_2h, table_6
from scoring.architecture.safe_failure_fraction import diagnostic_coverage, safe_failure_fraction
from scoring.limits import OutOfRange

SFFS = st.floats(0.0, 1.0)
RATES = st.floats(0.001, 1e6)
DEMANDS: tuple[Demand, ...] = ("low", "high")


@given(SFFS, st.sampled_from([1, 2, 3]))
def test_a_higher_sil_asks_no_less_fault_tolerance(sff: float, sil: int) -> None:
    for kind in ("A", "B"):
        lower, higher = (_asked(each, kind, sff) for each in (sil, sil + 1))
        assert higher >= lower
    for demand in DEMANDS:
        assert table_6(sil=sil + 1, demand=demand) >= table_6(sil=sil, demand=demand)
        assert route_2h(sil=sil + 1, demand=demand) >= route_2h(sil=sil, demand=demand)


@given(SFFS, SFFS, st.sampled_from([1, 2, 3, 4]))
def test_a_higher_safe_failure_fraction_asks_no_more(one: float, other: float, sil: int) -> None:
    low, high = sorted((one, other))
    for kind in ("A", "B"):
        assert _asked(sil, kind, high) <= _asked(sil, kind, low)


@given(SFFS, st.sampled_from([1, 2, 3, 4]))
def test_type_b_asks_no_less_than_type_a(sff: float, sil: int) -> None:
    assert _asked(sil, "B", sff) >= _asked(sil, "A", sff)


def _asked(sil: int, kind: str, sff: float) -> float:
    of: Type = "A" if kind == "A" else "B"
    asked = route_1h(sil=sil, kind=of, sff=sff)
    return inf if asked is None else asked


@given(RATES, RATES, RATES)
def test_better_diagnostics_never_lower_the_safe_failure_fraction(safe: float, detected: float, du: float) -> None:
    before = safe_failure_fraction(safe=safe, detected=detected, undetected=du)
    assert safe_failure_fraction(safe=safe, detected=detected + du / 2, undetected=du / 2) >= before
    coverage = diagnostic_coverage(detected=detected, undetected=du)
    assert coverage is not None
    assert coverage <= before + 1e-12, "safe failures come on top"


def test_a_sum_of_rates_that_misses_a_bound_in_its_last_digit_still_reaches_it() -> None:
    assert band("B", nextafter(0.6, 0.0))["values"] == [1, 2, 3]


@pytest.mark.parametrize("wrong", [nan, -0.1, 1.1])
def test_no_fraction_is_taken_that_is_none(wrong: float) -> None:
    with pytest.raises(OutOfRange, match="SFF"):
        band("A", wrong)


@pytest.mark.parametrize("wrong", [nan, -1.0, inf])
def test_no_rate_is_taken_that_is_none(wrong: float) -> None:
    with pytest.raises(OutOfRange, match="lambda_S"):
        safe_failure_fraction(safe=wrong, detected=1.0, undetected=1.0)
    with pytest.raises(OutOfRange, match="lambda_DD"):
        diagnostic_coverage(detected=wrong, undetected=1.0)


def test_without_any_failure_there_is_no_fraction() -> None:
    assert diagnostic_coverage(detected=0.0, undetected=0.0) is None
    with pytest.raises(OutOfRange, match="at least one must be above 0"):
        safe_failure_fraction(safe=0.0, detected=0.0, undetected=0.0)


@pytest.mark.parametrize("wrong", [0, 5])
def test_no_other_sil_is_taken(wrong: int) -> None:
    with pytest.raises(OutOfRange, match="SIL"):
        table_6(sil=wrong, demand="low")
    with pytest.raises(OutOfRange, match="SIL"):
        route_1h(sil=wrong, kind="A", sff=0.5)


@pytest.mark.parametrize("wrong", [nan, 0.0, -1.0])
def test_no_target_is_taken_that_is_none(wrong: float) -> None:
    with pytest.raises(OutOfRange, match="target"):
        required_sil(demand="low", target=wrong)
