"""Uncertainty of the functions of the demo plant, with shares, on one core."""

from __future__ import annotations

from time import process_time

from checks.analysis import uncertainty
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Plant
from scoring.uncertainty.method import POWER
from tests.bench.figures import Line

FUNCTIONS, MANY = 8, 17
"""Number of functions, and the power of two of a large sample."""
AIMS = {POWER: 0.1, MANY: 1.0}
"""Aims [s] by the power of two of the sample."""


def measure(plant: Plant) -> list[Line]:
    """Processor time of eight functions by Annex B, for the sample of a screen and for a large one."""
    assessment = Assessment(plant)
    names = [function.id for function in assessment.functions()][:FUNCTIONS]
    uncertainty.of_function(assessment, names[0])  # loads scipy
    return [
        Line(
            f"uncertainty of {len(names)} functions, {2**power:,} points, shares",
            [_spent(assessment, names, power) for _ in range(7)],
            aim,
        )
        for power, aim in AIMS.items()
    ]


def _spent(assessment: Assessment, names: list[str], power: int) -> float:
    begun = process_time()
    for name in names:
        uncertainty.of_function(assessment, name, power=power)
    return process_time() - begun
