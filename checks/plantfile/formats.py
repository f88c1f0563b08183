"""Rules of each plant file format that types cannot express, for formats 1 and 2.

The checks use plain data, as those of ``consistency``.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from checks.plantfile.consistency import Found, entries, found
from checks.plantfile.plant import Plant
from scoring.methods import registry

EXPOSURE_RULES_OF_1 = ("graded", "none")


def faults(raw: dict[str, Any]) -> Iterator[Found]:
    """Entries that the format of the file does not have, and entries that it requires."""
    if raw.get("format") == 2:
        yield from _missing(raw)
        return
    conventions = raw.get("conventions")
    rule = conventions.get("exposure_rule") if isinstance(conventions, dict) else None
    if rule in registry.EXPOSURE.ids() and rule not in EXPOSURE_RULES_OF_1:
        yield found(
            ("conventions", "exposure_rule"),
            f"{rule} needs format 2",
            f"write format: 2, or {' or '.join(EXPOSURE_RULES_OF_1)} here",
        )


def _missing(raw: dict[str, Any]) -> Iterator[Found]:
    for key, group in entries(raw, "groups"):
        test, stated = group.get("proof_test"), group.get("stated_beta")
        if isinstance(test, dict) and "coverage" not in test:
            allowed = (
                "format 2 has no default: the share of undetected failures that the test finds, 0 to 1 (90 % = 0.9)"
            )
            yield found(("groups", key, "proof_test", "coverage"), "missing", allowed)
        if isinstance(stated, dict) and not str(stated.get("source") or "").strip():
            yield found(
                ("groups", key, "stated_beta", "source"), "missing", "format 2 requires the source of a specified beta"
            )


def in_full(data: dict[str, Any], plant: Plant) -> dict[str, Any]:
    """Plain data of a plant with the entries that its format requires, default values included."""
    if plant.format == 1:
        return data
    groups = {
        key: {**group, "proof_test": {**group["proof_test"], "coverage": plant.groups[key].proof_test.coverage}}
        for key, group in data["groups"].items()
    }
    return {**data, "groups": groups}
