"""IEC 61508-6:2010 Annex D: points, Z, beta_int and voting factor, with the closure against the 2000 edition."""

from __future__ import annotations

import pytest

from scoring.common_cause import Part, Score, beta_int, diagnostic_credit, rows, score
from scoring.methods.registry import MOON_FACTORS
from scoring.source import table
from scoring.voting import read

D1 = "iec61508_6_2010_d1"
FIELD: tuple[Part, ...] = ("sensor", "final")

CATEGORY_SUMS = {
    "SEP": (7.0, 3.0, 6.0, 4.0),
    "DIV": (24.5, 5.0, 19.5, 2.0),
    "CPX": (5.5, 4.5, 6.5, 3.5),
    "ASM": (0.5, 9.5, 0.5, 9.5),
    "PRO": (7.0, 6.0, 4.5, 5.5),
    "CMP": (2.5, 7.5, 2.5, 7.5),
    "ENV": (5.5, 4.5, 5.5, 4.5),
    "TST": (10.0, 10.0, 10.0, 10.0),
}
CATEGORY_ROWS = {"SEP": 5, "DIV": 9, "CPX": 6, "ASM": 3, "PRO": 8, "CMP": 2, "ENV": 3, "TST": 1}

# Rows whose points differ in the 2000 edition: x_logic, y_logic, x_field, y_field.
ROWS_2000 = {
    "DIV1": (7.0, 0.0, 0.0, 0.0),
    "DIV2": (5.0, 0.0, 0.0, 0.0),
    "DIV3": (0.0, 0.0, 7.5, 0.0),
    "DIV4": (0.0, 0.0, 5.5, 0.0),
    "DIV6": (3.0, 1.5, 0.0, 0.0),
    "DIV7": (1.0, 1.0, 0.0, 0.0),
    "DIV8": (1.0, 0.5, 1.0, 1.0),
    "DIV9": (2.5, 0.0, 2.5, 0.0),
}
MOON_2000 = (2.0, 0.5, 2.0, 0.5)
"""The better of the two rows on N > M + 2 and N = M + 2, which only the 2000 edition has."""

# Worked example, half of each category sum as printed: X, Y.
EXAMPLE_HALVES = {
    "SEP": (3.5, 1.5),
    "CPX": (2.75, 2.25),
    "ASM": (0.25, 4.75),
    "PRO": (3.5, 3.0),
    "CMP": (1.25, 3.75),
    "ENV": (2.75, 2.25),
    "TST": (5.0, 5.0),
}
DIVERSE = {"DIV1", "DIV6", "DIV7", "DIV8", "DIV9"}
REDUNDANT = {"DIV5"}

BANDS = [  # score, logic, sensor and final element
    (0.0, 0.05, 0.10),
    (44.999, 0.05, 0.10),
    (45.0, 0.02, 0.05),
    (69.999, 0.02, 0.05),
    (70.0, 0.01, 0.02),  # "70 to 120" and "45 to 70" both print it; the better band is our reading
    (119.999, 0.01, 0.02),
    (120.0, 0.005, 0.01),
    (200.0, 0.005, 0.01),
]

COVERAGES = (0.99, 0.90, 0.60, 0.0)
"""Lower edges of the rows of Tables D.2 and D.3."""
ABOVE = {0.99: 0.995, 0.90: 0.95, 0.60: 0.75, 0.0: 0.3}
MINUTE = 1.0 / 60.0
D2 = {  # interval [h]: Z for each row
    0.5 * MINUTE: (2.0, 1.5, 1.0, 0.0),
    3.0 * MINUTE: (1.0, 0.5, 0.0, 0.0),
    6.0 * MINUTE: (0.0, 0.0, 0.0, 0.0),
}
D3 = {
    1.0: (2.0, 1.5, 1.0, 0.0),
    24.0: (1.5, 1.0, 0.5, 0.0),
    100.0: (1.0, 0.5, 0.0, 0.0),
    200.0: (0.0, 0.0, 0.0, 0.0),
}
EDGES = [  # part, interval exactly on a printed limit, the inner interval of the column that it belongs to
    ("logic", MINUTE, 3.0 * MINUTE, D2),  # printed "< 1 min" and "1 to 5 min"
    ("logic", 5.0 * MINUTE, 3.0 * MINUTE, D2),  # printed "1 to 5 min" and "> 5 min"
    ("sensor", 2.0, 24.0, D3),  # printed "< 2 h" and "2 h to 2 days"
    ("sensor", 48.0, 24.0, D3),  # both columns print 2 days; the shorter-interval one is our reading
    ("sensor", 168.0, 100.0, D3),  # printed "2 days to 1 week" and "> 1 week"
]

D5 = {
    "1oo2": 1.0,
    "1oo3": 0.5,
    "1oo4": 0.3,
    "1oo5": 0.2,
    "2oo3": 1.5,
    "2oo4": 0.6,
    "2oo5": 0.4,
    "3oo4": 1.75,
    "3oo5": 0.8,
    "4oo5": 2.0,
}


def column_sums(category: str) -> tuple[float, ...]:
    held = [row["values"] for row in table(D1).rows if row["category"] == category]
    return tuple(sum(values[at] or 0.0 for values in held) for at in range(4))


@pytest.mark.parametrize("category", CATEGORY_SUMS)
def test_table_d1_adds_up_in_each_category(category: str) -> None:
    """IEC 61508-6:2010, Annex D, Table D.1. Confidence: closure."""
    assert column_sums(category) == CATEGORY_SUMS[category]
    assert sum(row["category"] == category for row in table(D1).rows) == CATEGORY_ROWS[category]


def test_table_d1_adds_up_as_a_whole() -> None:
    """IEC 61508-6:2010, Annex D, Table D.1, 37 rows. Confidence: closure."""
    assert len(table(D1).rows) == 37
    assert {row["category"] for row in table(D1).rows} == set(CATEGORY_SUMS)
    totals = [sum(column_sums(category)[at] for category in CATEGORY_SUMS) for at in range(4)]
    assert totals == [62.5, 50.0, 55.0, 46.5]


@pytest.mark.parametrize(
    ("part", "x", "y", "s"), [("logic", 52.5, 48.0, 100.5), ("sensor", 55.0, 46.5, 101.5), ("final", 55.0, 46.5, 101.5)]
)
def test_best_attainable_score_counts_one_of_each_set_of_alternatives(part: Part, x: float, y: float, s: float) -> None:
    """IEC 61508-6:2010, Annex D, Table D.1. Confidence: closure."""
    best = score(part, set(rows(part)))
    assert (best.x, best.y, best.s) == (x, y, s)


@pytest.mark.parametrize(("part", "first", "x", "y"), [("logic", 0, 52.5, 47.5), ("sensor", 2, 54.0, 46.0)])
def test_with_the_rows_of_2000_both_halves_add_to_exactly_100(part: Part, first: int, x: float, y: float) -> None:
    """IEC 61508-6:2000, Annex D, Table D.1 (39 rows, best of each set of alternatives). Confidence: closure."""
    kept = score(part, set(rows(part)) - set(ROWS_2000) - {"DIV5"})
    # Of the alternatives, DIV1 beats DIV2 and DIV6 beats DIV5 in the 2000 edition as well.
    changed = [values for name, values in ROWS_2000.items() if name != "DIV2"]
    assert kept.x + sum(values[first] for values in changed) + MOON_2000[first] == x
    assert kept.y + sum(values[first + 1] for values in changed) + MOON_2000[first + 1] == y
    assert x + y == 100.0


@pytest.mark.parametrize("at", range(4))
def test_the_edition_of_2010_left_the_diversity_sums_unchanged(at: int) -> None:
    """IEC 61508-6:2000 and 2010, Annex D, Table D.1, diversity rows. Confidence: closure."""
    unchanged = column_sums("DIV")[at] - sum(
        row["values"][at] or 0.0 for row in table(D1).rows if row["id"] in ROWS_2000
    )
    moon_rows = ((2.0, 0.5, 2.0, 0.5), (1.0, 0.5, 1.0, 0.5))
    year_2000 = unchanged + sum(values[at] for values in ROWS_2000.values()) + sum(row[at] for row in moon_rows)
    assert year_2000 == CATEGORY_SUMS["DIV"][at]


@pytest.mark.parametrize(("part", "best_band"), [("logic", 0.01), ("sensor", 0.02), ("final", 0.02)])
def test_without_diagnostics_the_best_band_is_out_of_reach(part: Part, best_band: float) -> None:
    """IEC 61508-6:2010, Annex D, Tables D.1 and D.4 together: S never reaches 120. Confidence: closure."""
    best = score(part, set(rows(part)))
    assert best.s < 120.0
    assert beta_int(part, best.s) == best_band


@pytest.mark.parametrize("category", EXAMPLE_HALVES)
def test_the_worked_example_takes_half_of_each_category_sum(category: str) -> None:
    """IEC 61508-6:2000, Annex D, Table D.5 (2010: Table D.6), logic. Confidence: closure."""
    x, y = column_sums(category)[:2]
    assert (x / 2.0, y / 2.0) == EXAMPLE_HALVES[category]


@pytest.mark.parametrize(
    ("diversity", "z", "beta", "beta_d"),
    [
        (DIVERSE, 2.0, 0.02, 0.005),
        (DIVERSE, 0.0, 0.02, 0.02),
        (REDUNDANT, 2.0, 0.05, 0.01),
        (REDUNDANT, 0.0, 0.05, 0.05),
    ],
    ids=["diverse, good tests", "diverse, poor tests", "redundant, good tests", "redundant, poor tests"],
)
def test_the_worked_example_reaches_the_printed_betas(
    diversity: set[str], z: float, beta: float, beta_d: float
) -> None:
    """IEC 61508-6:2010, Annex D, Table D.6 (2000: Table D.5), with the row values of 2010. Confidence: closure.

    Whether the print of 2010 updated the diversity category (16.5 and 4.0 by its own rows, 14.5 and 3.0 in the print
    of 2000) is not known; the eight betas are the same with either.
    """
    half = [column_sums(category)[:2] for category in EXAMPLE_HALVES]
    own = score("logic", diversity)
    scored = Score(own.x + sum(x for x, _ in half) / 2.0, own.y + sum(y for _, y in half) / 2.0, z)
    assert (beta_int("logic", scored.s), beta_int("logic", scored.s_d)) == (beta, beta_d)


@pytest.mark.parametrize(
    ("scored", "s", "s_d", "beta", "beta_d"),
    [
        (Score(33.5, 25.5, 2.0), 59.0, 126.0, 0.02, 0.005),
        (Score(33.5, 25.5, 0.0), 59.0, 59.0, 0.02, 0.02),
        (Score(21.0, 23.5, 2.0), 44.5, 86.5, 0.05, 0.01),
        (Score(21.0, 23.5, 0.0), 44.5, 44.5, 0.05, 0.05),
    ],
)
def test_the_worked_example_scores_as_printed(scored: Score, s: float, s_d: float, beta: float, beta_d: float) -> None:
    """IEC 61508-6:2000, Annex D, Table D.5, logic, with S_D = X (Z + 1) + Y (read). Confidence: closure."""
    assert (scored.s, scored.s_d) == (s, s_d)
    assert (beta_int("logic", scored.s), beta_int("logic", scored.s_d)) == (beta, beta_d)


@pytest.mark.parametrize(("points", "logic", "field"), BANDS)
def test_table_d4_changes_band_at_the_printed_scores(points: float, logic: float, field: float) -> None:
    """IEC 61508-6:2010, Annex D, Table D.4. Confidence: memory."""
    assert beta_int("logic", points) == logic
    assert {beta_int(part, points) for part in FIELD} == {field}


@pytest.mark.parametrize("at", range(4), ids=[f"DC from {edge}" for edge in COVERAGES])
@pytest.mark.parametrize(("part", "printed"), [("logic", D2), ("sensor", D3), ("final", D3)])
def test_tables_d2_and_d3_agree_cell_by_cell(part: Part, printed: dict[float, tuple[float, ...]], at: int) -> None:
    """IEC 61508-6:2010, Annex D, Tables D.2 and D.3, inside each row and on its lower edge. Confidence: memory."""
    edge = COVERAGES[at]
    for interval, column in printed.items():
        assert diagnostic_credit(part, coverage=ABOVE[edge], interval=interval) == column[at]
        assert diagnostic_credit(part, coverage=edge, interval=interval) == column[at]
        if at > 0:
            assert diagnostic_credit(part, coverage=COVERAGES[at - 1] - 1e-6, interval=interval) == column[at]


@pytest.mark.parametrize(("part", "on_limit", "inside", "printed"), EDGES)
def test_an_interval_on_a_printed_limit_belongs_to_one_column(
    part: Part, on_limit: float, inside: float, printed: dict[float, tuple[float, ...]]
) -> None:
    """IEC 61508-6:2010, Annex D, Tables D.2 and D.3, column limits. Confidence: memory."""
    found = [diagnostic_credit(part, coverage=edge, interval=on_limit) for edge in COVERAGES]
    assert tuple(found) == printed[inside]


@pytest.mark.parametrize("arch", D5)
def test_table_d5_multiplies_the_beta_of_a_pair(arch: str) -> None:
    """IEC 61508-6:2010, Annex D, Table D.5. Confidence: memory."""
    assert MOON_FACTORS.get("iec61508-6-2010", 1).factor(read(arch)) == D5[arch]
    assert len(table("iec61508_6_2010_d5").rows) == len(D5)
