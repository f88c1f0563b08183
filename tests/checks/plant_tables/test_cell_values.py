"""Texts of cells as people write them."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checks.plant_tables import cell_lists, cell_values
from checks.plant_tables.cell_values import Ambiguous, Decimal, Reading, Unreadable
from checks.plant_tables.columns import column

READ: list[tuple[str, str, str, Any]] = [
    ("Devices", "lambda_du_fit", "450", 450),
    ("Devices", "lambda_du_fit", "4,5", 4.5),
    ("Devices", "lambda_du_fit", "1 200", 1200),
    ("Devices", "lambda_du_fit", "1'200", 1200),
    ("Devices", "lambda_du_fit", "1.200,5", 1200.5),
    ("Devices", "lambda_du_fit", "1,200.5", 1200.5),
    ("Devices", "lambda_du_fit", "1,200,000", 1200000),
    ("Devices", "lambda_du_fit", "4.5E2", 450),
    ("Devices", "lambda_du_fit", "0,450", 0.45),
    ("Groups", "proof_test.interval_h", "8760", 8760),
    ("Groups", "proof_test.interval_h", "1 y", 8760),
    ("Groups", "proof_test.interval_h", "1 year", 8760),
    ("Groups", "proof_test.interval_h", "6 months", 4380),
    ("Groups", "proof_test.interval_h", "1,5 a", 13140),
    ("Groups", "proof_test.interval_h", "2 weeks", 336),
    ("Groups", "mttr_h", "24h", 24),
    ("Groups", "proof_test.coverage", "90 %", 0.9),
    ("Groups", "proof_test.coverage", "92,5%", 0.925),
    ("Groups", "proof_test.coverage", "0.9", 0.9),
    ("Groups", "voting", "2 out of 3", "2oo3"),
    ("Groups", "voting", "1oo2d", "1oo2D"),
    ("Groups", "part", "Final element", "final"),
    ("Groups", "programmable", "Yes", True),
    ("Groups", "acts_on_detected", "-", False),
    ("Functions", "demand", "Continuous", "high"),
    ("Functions", "target_sil", "SIL 2", 2),
    ("Functions", "target_pfh", "1E-6", 1e-6),
]


@pytest.mark.parametrize(("sheet", "key", "text", "expected"), READ)
def test_what_people_write_is_understood(sheet: str, key: str, text: str, expected: Any) -> None:
    value = cell_values.value(column(sheet, key), text, Reading())
    assert value == pytest.approx(expected, rel=1e-12) if isinstance(expected, float) else value == expected
    assert type(value) is not bool or isinstance(expected, bool)


@pytest.mark.parametrize(
    ("sheet", "key", "text"),
    [
        ("Devices", "lambda_du_fit", "n/a"),
        ("Devices", "lambda_du_fit", "450 FIT"),
        ("Devices", "lambda_du_fit", "1e999"),
        ("Devices", "lambda_du_fit", "1,2,3"),
        ("Groups", "proof_test.interval_h", "2 fortnights"),
        ("Groups", "voting", "3oo2"),
        ("Groups", "voting", "two of three"),
        ("Groups", "part", "pump"),
        ("Groups", "programmable", "perhaps"),
        ("Functions", "target_sil", "2.5"),
    ],
)
def test_what_cannot_be_read_is_refused(sheet: str, key: str, text: str) -> None:
    with pytest.raises(Unreadable):
        cell_values.value(column(sheet, key), text, Reading())


@pytest.mark.parametrize(
    ("decimal", "text", "expected"),
    [("comma", "1,500", 1.5), ("point", "1,500", 1500.0), ("comma", "1.500", 1500.0), ("point", "1.500", 1.5)],
)
def test_the_decimal_sign_of_the_list_decides_between_two_readings(
    decimal: Decimal, text: str, expected: float
) -> None:
    assert cell_values.number(text, decimal) == expected
    if "," in text:
        with pytest.raises(Ambiguous):
            cell_values.number(text)


@pytest.mark.parametrize(
    ("unit", "text", "fit"), [("fit", "450", 450.0), ("1/h", "4.5e-7", 450.0), ("per million hours", "0.45", 450.0)]
)
def test_a_rate_is_converted_by_the_unit_in_its_head(unit: str, text: str, fit: float) -> None:
    assert cell_values.value(column("Devices", "lambda_du_fit"), text, Reading(unit=unit)) == fit


@given(value=st.floats(1e-12, 1e12) | st.integers(0, 10**9).map(float))
def test_a_number_that_is_written_reads_back_as_the_same_number(value: float) -> None:
    text = cell_values.digits(value)
    assert cell_values.number(text) == value
    assert cell_values.number(text, "point") == value


@given(value=st.floats(1e-6, 1e6), decimal=st.sampled_from([",", "."]))
def test_a_decimal_comma_is_as_good_as_a_point_where_the_list_says_so(value: float, decimal: str) -> None:
    sign: Decimal = "comma" if decimal == "," else "point"
    assert cell_values.number(f"{value:.4f}".replace(".", decimal), sign) == float(f"{value:.4f}")


@given(tags=st.lists(st.text(max_size=20), max_size=4))
def test_any_tags_in_one_cell_read_back_as_they_are(tags: list[str]) -> None:
    assert cell_lists.value("tags", cell_lists.written("tags", tags), Reading()) == tags


@given(source=st.text(max_size=30), beta=st.floats(0.0, 1.0))
def test_alternatives_in_one_cell_read_back_with_beta_and_source(source: str, beta: float) -> None:
    entries = [
        "ls",
        {"group": "pt", "voting": "1oo3"},
        {"any": ["ft", "lt"], "stated_beta": {"beta": beta, "source": source}},
    ]
    assert cell_lists.value("groups", cell_lists.written("groups", entries), Reading()) == entries
