"""Notes on plant data that are allowed but unlikely. They refuse nothing.

The bounds are house rules: what a reviewer asks about first, no limits of a standard.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from checks.assessment.assessment import Assessment
from checks.plantfile.equipment import Group
from checks.plantfile.plant import Plant
from checks.text.number_format import measure, significant

LEAST_FIT = 1.0
"""A rate below this was perhaps meant per million hours."""
LEAST_INTERVAL = 200.0
"""A test interval below this [h] was perhaps meant in months or weeks."""
LEAST_BETA = 0.01
MOST_RRF = 10_000.0
LEAST_PFH = 1e-8
"""The PFH [1/h] whose band is that of this RRF."""


@dataclass(frozen=True, slots=True)
class Note:
    """A note on one cell: sheet, id of the entry, key of the column, and a sentence."""

    sheet: str
    id: str
    key: str
    text: str

    def __str__(self) -> str:
        return f"{self.sheet}, {self.id}: {self.text}"


def notes(assessment: Assessment) -> list[Note]:
    """Notes on the data of a plant, sheet by sheet."""
    plant = assessment.plant
    used = {key for function in plant.functions.values() for key in function.group_ids}
    groups = [note for key, group in plant.groups.items() for note in (*_group(plant, key, group), *_unused(key, used))]
    return [*_devices(plant), *groups, *_functions(assessment)]


def _devices(plant: Plant) -> Iterator[Note]:
    for key, device in plant.devices.items():
        for name in ("lambda_du_fit", "lambda_dd_fit", "lambda_s_fit"):
            rate = getattr(device, name)
            if rate is not None and 0.0 < rate < LEAST_FIT:
                text = f"{rate:g} FIT is one failure in {significant(1e9 / rate / 8760.0)} years; per million hours it is {rate * 1000:g}"
                yield Note("Devices", key, name, text)


def _group(plant: Plant, key: str, group: Group) -> Iterator[Note]:
    for at, test in enumerate(group.all_tests):
        column = "interval_h" if group.tests else ("proof_test.interval_h", "proof_test.full_interval_h")[at]
        sheet = "Tests" if group.tests else "Groups"
        if test.interval_h < LEAST_INTERVAL:
            yield Note(sheet, key, column, f"a test every {test.interval_h:g} h; were months or weeks meant?")
    if group.all_tests and group.all_tests[0].coverage == 1.0:
        yield Note("Groups", key, "proof_test.coverage", "the test finds every undetected failure; few tests do")
    if group.diagnostic_interval_h is not None:
        for name in group.devices:
            device = plant.devices[name]
            if device.lambda_du_fit > device.lambda_dd_fit > 0.0:
                text = f"diagnostics are claimed, but more failures of {name} stay undetected than are detected"
                yield Note("Groups", key, "diagnostic_interval_h", text)
    if group.stated_beta is not None and group.stated_beta.beta < LEAST_BETA:
        yield Note(
            "Groups", key, "stated_beta.beta", "beta below 1 %: better than the best class of most questionnaires"
        )


def _unused(key: str, used: set[str]) -> Iterator[Note]:
    if key not in used:
        yield Note("Groups", key, "id", "no function uses this group")


def _functions(assessment: Assessment) -> Iterator[Note]:
    for key, function in assessment.plant.functions.items():
        result = assessment.function(key)
        if function.demand == "low" and 1.0 / result.cases.scored > MOST_RRF:
            text = f"RRF {measure('low', result.cases.scored)} is better than 10,000: check rates, tests and what is shared"
            yield Note("Functions", key, "groups", text)
        if function.demand == "high" and result.cases.scored < LEAST_PFH:
            text = f"PFH {measure('high', result.cases.scored)} is better than 1e-8/h: check rates, tests and what is shared"
            yield Note("Functions", key, "groups", text)
