"""Hardware fault tolerance: IEC 61508-2:2010, Tables 2 and 3 and Route 2H; IEC 61511-1:2016, Table 6. Typed a second time."""

from __future__ import annotations

import pytest

from scoring.architecture.fault_tolerance import (
    LEAST_CONFIDENCE,
    LEAST_COVERAGE,
    Demand,
    Type,
    band,
    required_sil,
    route_1h,
    route_2h,
    table_6,
)
from scoring.architecture.safe_failure_fraction import safe_failure_fraction
from tests.rule import Rule

INSIDE = (0.3, 0.75, 0.95, 0.995)
"""A safe failure fraction in each row of Tables 2 and 3."""
TYPE_A = ("1 2 3", "2 3 4", "3 4 4", "3 4 4")
TYPE_B = ("0 1 2", "1 2 3", "2 3 4", "3 4 4")
"""SIL at HFT 0, 1 and 2, row by row; 0: not allowed."""


@pytest.mark.parametrize(("sff", "row"), list(zip(INSIDE, TYPE_A, strict=True)))
def test_table_2_of_type_a(sff: float, row: str) -> None:
    """Confidence: cross-checked. IEC 61508-2:2010, Table 2, read in a maker's safety guide and recalled."""
    assert band("A", sff)["values"] == [int(cell) for cell in row.split()]


@pytest.mark.parametrize(("sff", "row"), list(zip(INSIDE, TYPE_B, strict=True)))
def test_table_3_of_type_b(sff: float, row: str) -> None:
    """Confidence: cross-checked. IEC 61508-2:2010, Table 3, printed alike in three makers' manuals."""
    assert band("B", sff)["values"] == [int(cell) for cell in row.split()]


@pytest.mark.parametrize(
    ("sff", "row"),
    [
        (0.0, 0),
        (0.5999, 0),
        (0.60, 1),
        (0.8999, 1),
        (0.90, 2),
        (0.9899, 2),
        (0.99, 3),
        (1.0, 3),
    ],
)
def test_a_row_holds_its_lower_bound(sff: float, row: int) -> None:
    """Confidence: read. Tables 2 and 3: below 60 %, 60 to below 90 %, 90 to below 99 %, 99 % or more."""
    assert band("B", sff)["values"] == [int(cell) for cell in TYPE_B[row].split()]


@pytest.mark.parametrize(
    ("sil", "low", "high"),
    [(1, 0, 0), (2, 0, 1), (3, 1, 1), (4, 2, 2)],
)
def test_table_6_and_route_2h_ask_the_same(sil: int, low: int, high: int) -> None:
    """Confidence: cross-checked. IEC 61511-1:2016 Table 6 (read in a handbook), which follows Route 2H (from memory)."""
    with Rule() as rule:
        modes: tuple[tuple[Demand, int], ...] = (("low", low), ("high", high))
        for demand, expected in modes:
            with rule.case(demand):
                assert table_6(sil=sil, demand=demand) == expected
                assert route_2h(sil=sil, demand=demand) == expected


@pytest.mark.parametrize(
    ("kind", "sff", "by_sil"),
    [
        ("A", 0.3, (0, 1, 2, None)),
        ("A", 0.75, (0, 0, 1, 2)),
        ("A", 0.95, (0, 0, 0, 1)),
        ("A", 0.995, (0, 0, 0, 1)),
        ("B", 0.3, (1, 2, None, None)),
        ("B", 0.75, (0, 1, 2, None)),
        ("B", 0.95, (0, 0, 1, 2)),
        ("B", 0.995, (0, 0, 0, 1)),
    ],
)
def test_least_fault_tolerance_by_route_1h(kind: Type, sff: float, by_sil: tuple[int | None, ...]) -> None:
    """Confidence: derived. Tables 2 and 3 read the other way round, by hand."""
    assert tuple(route_1h(sil=sil, kind=kind, sff=sff) for sil in (1, 2, 3, 4)) == by_sil


def test_what_route_2h_asks_besides() -> None:
    """Confidence: memory. IEC 61508-2:2010, 7.4.4.3: confidence of 90 %; type B with a diagnostic coverage of 60 %."""
    assert (LEAST_CONFIDENCE, LEAST_COVERAGE) == (0.9, 0.6)


@pytest.mark.parametrize(
    ("demand", "target", "sil"),
    [
        ("low", 9.9, None),
        ("low", 10.0, 1),
        ("low", 99.0, 1),
        ("low", 500.0, 2),
        ("low", 1000.0, 3),
        ("low", 99_999.0, 4),
        ("low", 200_000.0, None),
        ("high", 2e-5, None),
        ("high", 5e-6, 1),
        ("high", 5e-7, 2),
        ("high", 5e-8, 3),
        ("high", 5e-9, 4),
        ("high", 1e-10, None),
    ],
)
def test_the_band_of_a_target(demand: Demand, target: float, sil: int | None) -> None:
    """Confidence: cross-checked. IEC 61508-1:2010, Tables 2 and 3 (low demand PFDavg, high demand PFH)."""
    assert required_sil(demand=demand, target=target) == sil


@pytest.mark.parametrize("sil", [1, 2, 3, 4])
def test_a_target_sil_and_its_bound_ask_the_same(sil: int) -> None:
    """Confidence: derived. A target SIL stands for RRF 10^SIL or PFH 10^-(SIL + 4), so that bound asks for that SIL."""
    assert required_sil(demand="low", target=10.0**sil) == sil
    assert required_sil(demand="high", target=10.0 ** -(sil + 4)) == sil


@pytest.mark.parametrize(
    ("safe", "detected", "undetected", "sff"),
    [(0.0, 0.0, 100.0, 0.0), (50.0, 0.0, 50.0, 0.5), (40.0, 50.0, 10.0, 0.9), (0.0, 99.0, 1.0, 0.99)],
)
def test_safe_failure_fraction(safe: float, detected: float, undetected: float, sff: float) -> None:
    """Confidence: memory. IEC 61508-2:2010, Annex C: (S + DD) / (S + DD + DU)."""
    assert safe_failure_fraction(safe=safe, detected=detected, undetected=undetected) == pytest.approx(sff, rel=1e-15)
