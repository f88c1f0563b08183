"""INL/EXT-21-62940 (2021), CCF Parameter Estimations, 2020 Update: alpha_2 of a group of two, with its quantiles."""

from __future__ import annotations

import pytest

from scoring.field_data.alpha_factors import AlphaFactors
from tests.handbook.given import half_unit

ROWS = [
    ("1.469", "175.8", "0.00828", "0.000944", "0.00652", "0.0216"),
    ("0.6369", "114.0", "0.00556", "6.76e-05", "0.00306", "0.0195"),
    ("1.848", "132.5", "0.0138", "0.00223", "0.0114", "0.0332"),
    ("1.469", "38.75", "0.0365", "0.00426", "0.0291", "0.0941"),
]


@pytest.mark.parametrize(("a", "b", "mean", "p5", "p50", "p95"), ROWS)
def test_quantiles_follow_from_the_two_parameters(a: str, b: str, mean: str, p5: str, p50: str, p95: str) -> None:
    """Sections 2.11.1.1, 2.11.1.2, 2.11.1.3, 2.1.6.1. Confidence: read, in a transcription.

    Tolerance: half a unit of the last printed digit, and what half a unit of the printed parameters moves.
    """
    after = AlphaFactors((float(b), float(a)))
    found = after.quantiles(2)
    for ours, printed in ((after.means[1], mean), (found.p5, p5), (found.p50, p50), (found.p95, p95)):
        others = [AlphaFactors((float(b), float(a) + turn * half_unit(a))) for turn in (-1.0, 1.0)]
        moved = max(abs(other.quantiles(2).p5 / found.p5 - 1.0) for other in others)
        assert abs(ours - float(printed)) <= half_unit(printed) + ours * moved
