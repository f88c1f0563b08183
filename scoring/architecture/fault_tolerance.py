"""Hardware fault tolerance (HFT) that a SIL asks for, by three routes of two standards. They are never joined to one verdict."""

from __future__ import annotations

from typing import Any, Literal

from scoring.limits import OutOfRange, within
from scoring.method import About
from scoring.source import table
from scoring.units import Fraction

Type = Literal["A", "B"]
Demand = Literal["low", "high"]
SILS = (1, 2, 3, 4)

ROUTE_1H = About(
    id="iec61508-2-2010-route-1h",
    edition=1,
    label="Route 1H",
    source="IEC 61508-2:2010, 7.4.4.2, Tables 2 and 3",
    confidence="cross-checked",
    valid=(
        "elements of type A or B with entered rates; of devices in series and of diverse channels the most demanding one counts "
        "(house rule: the standard lets the best channel of a redundant group count); above HFT 2 the column of HFT 2"
    ),
    formula=(
        "SFF = (lambda_S + lambda_DD) / (lambda_S + lambda_DD + lambda_DU); the least HFT whose cell has the SIL",
    ),
)
ROUTE_2H = About(
    id="iec61508-2-2010-route-2h",
    edition=1,
    label="Route 2H",
    source="IEC 61508-2:2010, 7.4.4.3",
    confidence="memory",
    valid="devices with field data of 90 % confidence; type B with a diagnostic coverage of 60 % or more",
    formula=("HFT: SIL 4 2; SIL 3 1; SIL 2 in high demand or continuous mode 1, in low demand 0; SIL 1 0",),
)
TABLE_6 = About(
    id="iec61511-1-2016-table-6",
    edition=1,
    label="IEC 61511-1 Table 6",
    source="IEC 61511-1:2016, 11.4, Table 6",
    confidence="read",
    valid=(
        "the process sector; the clause also asks that programmable devices (FVL, LVL) have a diagnostic coverage of 60 % or more, and "
        "that the reliability data are credible and justified (from memory)"
    ),
    formula=("HFT: SIL 1 0; SIL 2 in low demand 0, in high demand or continuous mode 1; SIL 3 1; SIL 4 2",),
)
LEAST_CONFIDENCE: Fraction = 0.9
"""Confidence of field data that Route 2H asks for (from memory)."""
LEAST_COVERAGE: Fraction = 0.6
"""Diagnostic coverage that Route 2H asks of type B (from memory)."""
ELEMENTS = {"A": "iec61508_2_2010_table2", "B": "iec61508_2_2010_table3"}
"""Tables of Route 1H by the type of the element."""


def band(kind: Type, sff: Fraction) -> dict[str, Any]:
    """The row of Table 2 or 3 for a safe failure fraction: ``sff`` in words and ``values``, the SIL at HFT 0, 1 and 2.

    >>> band("B", 0.757)["sff"]
    '60 to below 90 %'
    """
    within("SFF", sff, 0.0, 1.0)
    rounded = round(sff, 12)  # a sum of rates may miss a bound in its last digit
    return [row for row in table(ELEMENTS[kind]).rows if row["from"] <= rounded][-1]


def route_1h(*, sil: int, kind: Type, sff: Fraction) -> int | None:
    """Least HFT for a SIL by Route 1H; None where no HFT up to 2 has it.

    >>> route_1h(sil=2, kind="B", sff=0.757), route_1h(sil=4, kind="B", sff=0.5)
    (1, None)
    """
    _known(sil)
    return next((hft for hft, highest in enumerate(band(kind, sff)["values"]) if highest >= sil), None)


def route_2h(*, sil: int, demand: Demand) -> int:
    """Least HFT for a SIL by Route 2H.

    >>> route_2h(sil=2, demand="low"), route_2h(sil=2, demand="high")
    (0, 1)
    """
    return _by_demand("iec61508_2_2010_route_2h", sil, demand)


def table_6(*, sil: int, demand: Demand) -> int:
    """Least HFT for a SIL by IEC 61511-1:2016, Table 6.

    >>> table_6(sil=3, demand="low")
    1
    """
    return _by_demand("iec61511_1_2016_table6", sil, demand)


def _by_demand(name: str, sil: int, demand: Demand) -> int:
    _known(sil)
    found = [row for row in table(name).rows if row["sil"] == sil and demand in row["demand"]]
    if not found:
        raise OutOfRange("demand", demand, "must be low or high")
    return int(found[0]["values"][0])


def _known(sil: int) -> None:
    if sil not in SILS:
        raise OutOfRange("SIL", sil, "must be 1, 2, 3 or 4")


def required_sil(*, demand: Demand, target: float) -> int | None:
    """The SIL in whose band a target lies: RRF in low demand, PFH [1/h] in high demand or continuous mode; None outside.

    A target on a bound belongs to the higher SIL, as a target SIL stands for that bound: RRF 100 and PFH 1e-6 are SIL 2.

    >>> required_sil(demand="low", target=500), required_sil(demand="high", target=1e-6), required_sil(demand="low", target=8)
    (2, 2, None)

    Source: IEC 61508-1:2010, Tables 2 and 3 (cross-checked); the bound is a house rule.
    """
    if not target > 0.0:
        raise OutOfRange("target", target, "must be above 0")
    bands = target if demand == "low" else 1e-4 / target  # SIL n begins at 10^n: PFH 1e-(n+4)
    exact = round(bands, 6)
    return next((sil for sil in reversed(SILS) if exact >= 10**sil), None) if exact <= 1e5 else None
