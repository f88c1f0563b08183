"""Setting up a large plant: its rows for the grids, a changed cell to new results, and a list of 10,000 rows."""

from __future__ import annotations

from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.plant_tables import draft, entries, list_import, preview, rows
from checks.plant_tables.columns import keys
from checks.plant_tables.entries import Sheet
from checks.plant_tables.list_import import Choices
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from tests.bench.figures import Line, once

DEVICES = 10_000
OPENS, CHECKS, READS = 1.0, 2.0, 5.0
"""Aims [s]: the rows of a sheet, a changed cell to its faults and results, a list of 10,000 rows to its preview."""


def measure(plant: Plant) -> list[Line]:
    """Measure with a large plant; nothing is stored."""
    before = Assessment(plant.model_copy(update={"answers": []}), Answers(plant.answers))
    before.functions()
    tables, opened = once(lambda: rows.of_plant(before.plant))
    lines = [dict(row) for row in tables["Groups"]]
    lines[0]["proof_test.interval_h"] = "2 y"
    sheet = Sheet("Groups", tuple(enumerate(lines, start=1)), keys("Groups"))
    found, checked = once(lambda: draft.draft(before.plant, [entries.read(sheet)], whole=True))
    changed = found.plant
    if changed is None:
        raise RuntimeError("the changed cell is no fault")
    _, computed = once(lambda: before.with_plant(changed).functions())
    text = "Device;Lambda DU [FIT];Source\n" + "".join(f"D{at};{450 + at % 7},5;list\n" for at in range(DEVICES))
    _, listed = once(lambda: _taken(text))
    return [
        Line("large plant: rows of all sheets for set-up", [opened], OPENS),
        Line("large plant: a changed cell to its faults", [checked], CHECKS),
        Line("large plant: a changed cell to all new results", [checked + computed], CHECKS),
        Line(f"list of {DEVICES:,} rows: read, checked, compared", [listed], READS),
    ]


def _taken(text: str) -> None:
    base = plant_file.empty("Bench")
    found = list_import.from_bytes("list.csv", text.encode(), Choices())
    plant = list_import.onto(base, found).plant
    if plant is None or len(preview.changes(base, plant)[0]) != DEVICES:
        raise RuntimeError("the list is read whole")
