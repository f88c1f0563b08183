"""Tutorial series "SIL Calcs 101", blog 2020 to 2023: figures in its spreadsheets and its closed forms.

Its averages are the mean of PFD(t) on a daily grid of 366 points over one year. The rare-event equation lies above the
exact mean by at most ``highest_excess`` lambda T. The grid with both ends lies above the exact mean of a squared PFD by
1/730 of it; for a single channel grid and exact mean agree to four parts in a million.

Left out: the time-dependent points of 2021/01/31 (no rare-event value); the parts that a proof test finds of 2020/12/20
(the grid counts the day of the test as zero and ends six days into a further interval: an artefact of 2 to 5 %).
"""

from __future__ import annotations

from math import exp

import pytest

from scoring.equipment import in_turn, together
from scoring.voting import read
from tests.handbook.given import YEAR, half_unit, highest_excess, printed, undetected_only

GRID = 1.0 / 730.0


@pytest.mark.parametrize(
    ("arch", "lambda_du", "beta", "expected"),
    [
        ("1oo1", 1.0e-6, 0.0, "4.37E-03"),  # 2020/12/10, as all up to the valve
        ("1oo2", 1.0e-6, 0.0, "2.54E-05"),
        ("2oo3", 1.0e-6, 0.0, "7.60E-05"),
        ("1oo1", 3.0e-7, 0.0, "1.31E-03"),  # logic solver
        ("1oo1", 9.0e-7, 0.0, "3.93E-03"),  # valve
        ("1oo1", 1.5e-7, 0.0, "6.57E-04"),  # 2020/12/20, the 15 % that no proof test finds
        ("1oo2", 1.0e-6, 0.1, "4.58E-04"),  # 2021/01/31
    ],
)
def test_spreadsheet_means_lie_within_the_excess(arch: str, lambda_du: float, beta: float, expected: str) -> None:
    """Tutorial series, pages "multiple elements", "proof testing", "beta factor application". Confidence: read.

    Tolerance: the printed mean may lie below ours by the excess of the rare-event equation, above it by the grid.
    """
    ours = undetected_only(arch, lambda_du=lambda_du, interval=YEAR, beta=beta).total
    lowest = ours * (1.0 - highest_excess(read(arch)) * lambda_du * YEAR)
    highest = ours * (1.0 + (GRID if read(arch).redundant else 0.0))
    assert lowest - half_unit(expected) <= float(expected) <= highest + half_unit(expected)


def test_shared_part_of_a_pair_is_a_single_channel_at_beta_lambda() -> None:
    """Tutorial series, page 2021/01/31, common part of lambda 1e-6/h at beta 10 %. Confidence: read."""
    assert undetected_only("1oo2", lambda_du=1.0e-6, interval=YEAR, beta=0.1).shared == printed("4.38E-04")


def test_independent_rate_of_a_pair_is_that_of_a_single_channel_at_the_rest() -> None:
    """Tutorial series, page 2021/01/31, independent part, 1oo1 at (1 - beta) lambda. Confidence: read.

    Tolerance: as for the means, lambda T / 3 of a single channel.
    """
    pair = undetected_only("1oo2", lambda_du=1.0e-6, interval=YEAR, beta=0.1).independent
    # The independent part of a pair is (lambda T)^2 / 3 and a single channel lambda T / 2, both at (1 - beta) lambda.
    one = (3.0 * pair) ** 0.5 / 2.0
    assert one * (1.0 - 9.0e-7 * YEAR / 3.0) - half_unit("3.93E-03") <= 3.93e-3 <= one + half_unit("3.93E-03")


@pytest.mark.parametrize(
    ("lambda_du", "years", "exact", "rare_event", "error_percent"),
    [
        (1.0e-6, 1, "4.37E-03", "4.38E-03", "0.29"),
        (1.0e-6, 6, "2.58E-02", "2.63E-02", "1.76"),
        (1.0e-5, 1, "4.25E-02", "4.38E-02", "2.94"),
        (1.0e-5, 6, "2.22E-01", "2.63E-01", "18.26"),
    ],
)
def test_rare_event_column_and_its_error(
    lambda_du: float, years: int, exact: str, rare_event: str, error_percent: str
) -> None:
    """Tutorial series, page 2023/02/25, "simplified equations", lambda T / 2 against exact. Confidence: read."""
    ours = undetected_only("1oo1", lambda_du=lambda_du, interval=years * YEAR).total
    x = lambda_du * years * YEAR
    closed_form = 1.0 + (exp(-x) - 1.0) / x
    assert ours == printed(rare_event)
    assert closed_form == printed(exact)
    assert 100.0 * (ours / closed_form - 1.0) == printed(error_percent)


@pytest.mark.parametrize(
    ("arch", "exact"),
    [
        ("1oo1", "0.00436724"),
        ("1oo2", "2.54118e-05"),
        ("2oo2", "0.00870906"),
        ("1oo3", "1.66299e-07"),
        ("2oo3", "7.59029e-05"),
        ("3oo3", "0.0130256"),
    ],
)
def test_closed_forms_lie_below_by_at_most_the_excess(arch: str, exact: str) -> None:
    """Tutorial series, page 2023/03/17, "analytical equations", lambda 1e-6/h, one year. Confidence: read.

    The formulas were read, the numbers evaluated from them and confirmed by quadrature, without this package.
    """
    ours = undetected_only(arch, lambda_du=1.0e-6, interval=YEAR).total
    lowest = ours * (1.0 - highest_excess(read(arch)) * 1.0e-6 * YEAR)
    assert lowest <= float(exact) < ours


ASSEMBLY = ((120.0, 0.5, 0.79), (240.0, 0.0, 0.95), (24.0, 0.5, 0.88), (24.0, 0.5, 0.85))
"""FIT_DU, partial-stroke coverage and proof-test coverage of positioner, solenoid, actuator and ball valve."""


def test_partial_stroke_and_proof_test_of_an_assembly() -> None:
    """Tutorial series, page 2021/03/13, figure 1: what the partial stroke finds, then the proof test. Confidence: read."""
    total = sum(fit for fit, _, _ in ASSEMBLY)
    found = together([(fit, in_turn([(730.0, stroke), (YEAR, proof)], 10.0 * YEAR)) for fit, stroke, proof in ASSEMBLY])
    shares = {part.interval: part.share for part in found}
    assert shares[730.0] * total == printed("84")
    assert shares[YEAR] * total == printed("280.32")
    assert shares[730.0] == printed("0.21")
    assert shares[YEAR] == printed("0.69")
    assert shares[730.0] + shares[YEAR] == printed("0.89")
    assert shares[YEAR] / (1.0 - shares[730.0]) == printed("0.87")


@pytest.mark.parametrize(
    ("coverages", "expected"),
    [((0.79, 0.88, 0.85), "0.81"), ((0.79, 0.88, 0.99), "0.83"), ((0.99, 0.88, 0.85), "0.95")],
)
def test_proof_test_coverage_of_an_assembly(coverages: tuple[float, ...], expected: str) -> None:
    """Tutorial series, page 2021/03/03, positioner, actuator, ball valve: coverage weighted by FIT_DU. Confidence: read."""
    parts = zip((120.0, 24.0, 24.0), coverages, strict=True)
    found = together([(fit, in_turn([(YEAR, coverage)], 10.0 * YEAR)) for fit, coverage in parts])
    assert found[0].share == printed(expected)
