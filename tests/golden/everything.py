"""A plant with everything that format 2 knows, a revision of which the safety half is signed, and a list that was brought to it."""

from __future__ import annotations

from pathlib import Path

from checks.plantfile import plant_file
from checks.record_files import exports
from checks.recording import plant_setup
from tests.checks.given import FORMAT_2
from tests.checks.team import OWNS, founded

SYSTEM = "S1"
COLUMNS = {"sheets": {"Loops": "Functions"}, "columns": {"Functions": {"Loop": "id"}}, "decimal": ","}


def fill(path: Path) -> str:
    """Write it into a new database file; returns the record of its revision."""
    team = founded(path, plant_file.read(FORMAT_2), "safety")
    plant = team.now().plant
    renamed = plant.model_copy(update={"plant": plant.plant.model_copy(update={"note": "list of 2026-11-27"})})
    plant_setup.save(team.live, OWNS, renamed, seen=team.now().version.data, columns=COLUMNS)
    revision = team.put_up(SYSTEM)
    team.sign("safety", revision)
    text = exports.export(team.live, OWNS, team.latest(SYSTEM))
    team.store.engine.dispose()
    return text
