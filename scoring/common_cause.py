"""From the rows of the common-cause questionnaire that are met to a score and to beta (IEC 61508-6:2010 Annex D)."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import cache
from math import inf
from typing import Literal

from scoring.limits import within
from scoring.source import table
from scoring.units import Fraction, Hours

Part = Literal["sensor", "logic", "final"]
PARTS: tuple[Part, ...] = ("sensor", "logic", "final")


ROUNDING = 1e-12
"""Tolerance on a diagnostic coverage: 0.9 that is rounded down in its division still takes the row of 90 %."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of Table D.1 for one part: its points, and the set of alternatives it is in, if any."""

    id: str
    category: str
    alternatives: str | None
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Score:
    """X, Y and Z with S = X + Y and S_D = X (Z + 1) + Y."""

    x: float
    y: float
    z: float

    @property
    def s(self) -> float:
        """Score for undetected failures."""
        return self.x + self.y

    @property
    def s_d(self) -> float:
        """Score for detected failures."""
        return self.x * (self.z + 1.0) + self.y


@dataclass(frozen=True, slots=True)
class Tables:
    """Names of the files in ``scoring/tables`` of one edition of Annex D: a corrected table is a further file."""

    points: str = "iec61508_6_2010_d1"
    credit_logic: str = "iec61508_6_2010_d2"
    credit_field: str = "iec61508_6_2010_d3"
    bands: str = "iec61508_6_2010_d4"


FIRST = Tables()
"""Tables D.1 to D.4 of the first edition of the method."""


@cache
def rows(part: Part, tables: Tables = FIRST) -> dict[str, Row]:
    """Rows of Table D.1 that apply to ``part``, by id, in printed order."""
    column = 0 if part == "logic" else 2
    applicable = {}
    for row in table(tables.points).rows:
        x, y = row["values"][column : column + 2]
        if x is not None or y is not None:
            applicable[row["id"]] = Row(row["id"], row["category"], row.get("alternatives"), x or 0.0, y or 0.0)
    return applicable


def score(part: Part, claimed: Collection[str], *, z: float = 0.0, tables: Tables = FIRST) -> Score:
    """Score of a group of ``part`` that meets the rows ``claimed``; ``z`` is the diagnostic credit of Table D.2 or D.3.

    Rows that do not apply to the part score nothing. Of alternative rows only the best claimed one counts.

    >>> score("logic", {"PRO5", "PRO7", "SEP1"})
    Score(x=4.0, y=3.0, z=0.0)

    Source: IEC 61508-6:2010 Annex D, Table D.1 (recalled, passes the closure checks of the table file).
    """
    counted_rows = counted(part, claimed, tables=tables)
    return Score(sum(row.x for row in counted_rows), sum(row.y for row in counted_rows), z)


def counted(part: Part, claimed: Collection[str], *, tables: Tables = FIRST) -> tuple[Row, ...]:
    """Rows of ``claimed`` whose points count: those that apply to the part, of alternatives the best one.

    >>> [row.id for row in counted("logic", {"PRO5", "PRO7", "SEP1"})]
    ['SEP1', 'PRO7']
    """
    plain: list[Row] = []
    best: dict[str, Row] = {}
    for row in rows(part, tables).values():
        if row.id not in claimed:
            continue
        if row.alternatives is None:
            plain.append(row)
        elif (best_so_far := best.get(row.alternatives)) is None or best_so_far.x + best_so_far.y < row.x + row.y:
            best[row.alternatives] = row
    return (*plain, *best.values())


def diagnostic_credit(part: Part, *, coverage: Fraction, interval: Hours, tables: Tables = FIRST) -> float:
    """Z of Table D.2 (logic) or D.3 (sensor, final element).

    Parameters
    ----------
    coverage
        Diagnostic coverage lambda_DD / (lambda_DU + lambda_DD).
    interval
        Time within which a detected fault is acted on [h]. A time exactly on a printed limit takes the
        column of the shorter interval, except the first limit, which is printed as "less than".

    Examples
    --------
    >>> diagnostic_credit("sensor", coverage=0.92, interval=1.0)
    1.5

    Source: IEC 61508-6:2010 Annex D, Tables D.2 and D.3 (from memory).
    """
    within("diagnostic coverage", coverage, 0.0, 1.0)
    within("diagnostic test interval", interval, 0.0, inf)
    printed = table(tables.credit_logic if part == "logic" else tables.credit_field)
    limits = printed.extra["interval_limits_h"]
    column = 0 if interval < limits[0] else max(1, bisect_left(limits, interval))
    row = next(row for row in printed.rows if coverage + ROUNDING >= row["dc_from"])
    return float(row["values"][column])


@cache
def _bands(part: Part, tables: Tables) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Lower score limits in rising order, and the beta from each limit upwards."""
    column = 0 if part == "logic" else 1
    rising = sorted(table(tables.bands).rows, key=lambda row: row["score_from"])
    return tuple(row["score_from"] for row in rising), tuple(row["values"][column] for row in rising)


def bands(part: Part, tables: Tables = FIRST) -> tuple[tuple[float, Fraction], ...]:
    """Each band of Table D.4, worst first: the score from which it holds, and its beta.

    >>> bands("logic")
    ((0, 0.05), (45, 0.02), (70, 0.01), (120, 0.005))

    Source: IEC 61508-6:2010 Annex D, Table D.4 (from memory).
    """
    return tuple(zip(*_bands(part, tables), strict=True))


def beta_int(part: Part, points: float, tables: Tables = FIRST) -> Fraction:
    """beta_int of a score S, or beta_D_int of a score S_D. A score of exactly 70 takes the better band.

    >>> beta_int("logic", 59.0), beta_int("final", 70.0)
    (0.02, 0.02)

    Source: IEC 61508-6:2010 Annex D, Table D.4 (from memory).
    """
    within("points", points, 0.0, inf)
    limits, betas = _bands(part, tables)
    return betas[bisect_right(limits, points) - 1]


def points_to_next_band(part: Part, points: float, tables: Tables = FIRST) -> float | None:
    """Points missing to the next better band of Table D.4; None in the best band."""
    return next((limit - points for limit in _bands(part, tables)[0] if limit > points), None)


def worst_beta(part: Part, tables: Tables = FIRST) -> Fraction:
    """Worst class of Table D.4: 5 % for logic, 10 % for sensors and final elements."""
    return _bands(part, tables)[1][0]


def thin_categories(part: Part, claimed: Iterable[str], tables: Tables = FIRST) -> tuple[str, ...]:
    """Categories that contribute less than 5 % of the score S: a warning, not a failure.

    Source: IEC 61508-6 Annex D, text on the use of the tables (from memory).
    """
    claimed_ids = set(claimed)
    total = score(part, claimed_ids, tables=tables).s
    by_category: dict[str, set[str]] = {}
    for row in rows(part, tables).values():
        by_category.setdefault(row.category, set()).add(row.id)
    return tuple(
        name for name, ids in by_category.items() if score(part, claimed_ids & ids, tables=tables).s < total / 20.0
    )
