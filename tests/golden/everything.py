"""A plant with everything that format 2 knows, an element inside a channel, groups with methods of their own, a signed safety half, and a list brought to it."""

from __future__ import annotations

from pathlib import Path

from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.record_files import exports
from checks.recording import plant_setup
from tests.checks.given import ELEMENT, FORMAT_2
from tests.checks.team import OWNS, founded

SYSTEM = "S1"
COLUMNS = {"sheets": {"Loops": "Functions"}, "columns": {"Functions": {"Loop": "id"}}, "decimal": ","}


OWN = {
    "pt": {"beta_method": "humphreys-1987", "beta_method_reason": "the site asks these questions"},
    "esv": {"redundancy_method": "timeline"},
}
"""Methods of groups, where they differ from those of the plant."""


def _plant() -> Plant:
    raw = plant_file.plain(plant_file.read(FORMAT_2))
    for key, own in OWN.items():
        raw["groups"][key]["conventions"] = {**raw["groups"][key].get("conventions", {}), **own}
    raw["groups"]["esv"]["channels"][1][0] = ELEMENT
    plant, _, _ = plant_file.from_data(raw)
    assert plant is not None
    return plant


def fill(path: Path) -> str:
    """Write it into a new database file; returns the record of its revision."""
    team = founded(path, _plant(), "safety")
    plant = team.now().plant
    renamed = plant.model_copy(update={"plant": plant.plant.model_copy(update={"note": "list of 2026-11-27"})})
    plant_setup.save(team.live, OWNS, renamed, seen=team.now().version.data, columns=COLUMNS)
    revision = team.put_up(SYSTEM)
    team.sign("safety", revision)
    text = exports.export(team.live, OWNS, team.latest(SYSTEM))
    team.store.engine.dispose()
    return text
