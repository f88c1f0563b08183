"""Rules of each plant file format that types cannot express, for formats 1 and 2.

The checks use plain data, as those of ``consistency``.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from checks.plantfile.plain_data import Found, as_list, block, elements_of, entries, found
from checks.plantfile.plant import Plant
from checks.text.yaml_text import Place
from scoring.methods import registry
from scoring.timeline.method import TIMELINE

EXPOSURE_RULES_OF_1 = ("graded", "none")
ONLY_2 = {
    "devices": ("lambda_sd_fit", "error_factor", "type", "field_data", "systematic_capability"),
    "groups": (
        "tests",
        "check_others",
        "diagnostic_switch",
        "stated_result",
        "conventions",
        "systematic_capability",
        "observed_since",
    ),
    "functions": ("target_sil", "demand_zone"),
    "conduits": ("one_way_to",),
}
"""Fields of entries that format 1 does not have, by block."""


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
    if block(raw, "conventions").get("redundancy_method") == TIMELINE:
        yield found(
            ("conventions", "redundancy_method"), f"{TIMELINE} needs format 2", "write format: 2, or annex-b here"
        )
    for place in _only_in_2(raw):
        yield found(place, "needs format 2", "write format: 2 at the top of the file")


def _only_in_2(raw: dict[str, Any]) -> Iterator[Place]:
    """Places of a file of format 1 that only format 2 has."""
    if block(raw, "conventions").get("mission_h") is not None:
        yield "conventions", "mission_h"
    for name, fields in ONLY_2.items():
        for key, entry in entries(raw, name):
            yield from ((name, key, field) for field in fields if entry.get(field) is not None)
    for key, group in entries(raw, "groups"):
        if block(group, "stated_beta").get("of") is not None:
            yield "groups", key, "stated_beta", "of"
        if str(group.get("voting")).endswith("D"):
            yield "groups", key, "voting"
        yield from (place for place, _ in elements_of(key, group))
    for key, function in entries(raw, "functions"):
        for at, entry in enumerate(as_list(function.get("groups"))):
            if isinstance(entry, dict):
                yield "functions", key, "groups", at


A_BETA = "a specified beta"
SOURCED = {
    "devices": {"field_data": "field data", "systematic_capability": "a systematic capability"},
    "groups": {
        "stated_beta": A_BETA,
        "stated_result": "a stated result",
        "systematic_capability": "a systematic capability",
    },
}
"""Statements whose source format 2 requires, in words, by block and field."""


def _sourced(raw: dict[str, Any]) -> Iterator[tuple[Place, Any, str]]:
    """Statements whose source format 2 requires: place, the statement, what it is."""
    for name, fields in SOURCED.items():
        for key, entry in entries(raw, name):
            yield from (((name, key, field), entry.get(field), what) for field, what in fields.items())
    for key, group in entries(raw, "groups"):
        for place, element in elements_of(key, group):
            yield (*place, "stated_beta"), element.get("stated_beta"), A_BETA
    for key, function in entries(raw, "functions"):
        for at, entry in enumerate(as_list(function.get("groups"))):
            if isinstance(entry, dict):
                yield ("functions", key, "groups", at, "stated_beta"), entry.get("stated_beta"), A_BETA


def _sources(raw: dict[str, Any]) -> Iterator[tuple[Place, str]]:
    """Places of sources that are missing, and what each is the source of."""
    for place, stated, what in _sourced(raw):
        if isinstance(stated, dict) and not str(stated.get("source") or "").strip():
            yield (*place, "source"), what


def _missing(raw: dict[str, Any]) -> Iterator[Found]:
    for place, what in _sources(raw):
        yield found(place, "missing", f"format 2 requires the source of {what}")
    for key, group in entries(raw, "groups"):
        test = group.get("proof_test")
        if isinstance(test, dict) and "coverage" not in test:
            allowed = (
                "format 2 has no default: the share of undetected failures that the test finds, 0 to 1 (90 % = 0.9)"
            )
            yield found(("groups", key, "proof_test", "coverage"), "missing", allowed)


def in_full(data: dict[str, Any], plant: Plant) -> dict[str, Any]:
    """Plain data of a plant with the entries that its format requires, default values included."""
    if plant.format == 1:
        return data
    groups = {}
    for key, group in data["groups"].items():
        test = plant.groups[key].proof_test
        groups[key] = (
            group if test is None else {**group, "proof_test": {**group["proof_test"], "coverage": test.coverage}}
        )
    return {**data, "groups": groups}
