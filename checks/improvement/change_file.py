"""Allowed changes as a CSV file: columns group, change, test, to and effort."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from checks.allowed_changes import fitting
from checks.allowed_changes.change import GroupChange
from checks.improvement import efforts
from checks.plantfile.plant import Plant
from checks.spreadsheets.workbook import MOST_BYTES
from checks.text import files
from checks.text.faults import Fault, Refused

COLUMNS = ("group", "change", "test", "to", "effort")


def read(path: Path, plant: Plant) -> dict[GroupChange, float]:
    """Allowed changes of a file with their efforts; raises Refused with every faulty line and column, and what is allowed."""
    return from_bytes(str(path), files.read(path, "a file of allowed changes", MOST_BYTES), plant)


def from_bytes(name: str, raw: bytes, plant: Plant) -> dict[GroupChange, float]:
    """Allowed changes of the content of a file; raises Refused as ``read`` does."""
    allowed: dict[GroupChange, float] = {}
    lines: dict[GroupChange, int] = {}
    faults: list[Fault] = []
    for line, fields in efforts.table(name, raw, COLUMNS):
        try:
            effort = efforts.number(fields["effort"])
        except ValueError:
            effort = 0.0
            faults.append(Fault(f"line {line}, column effort", fields["effort"] or "(empty)", efforts.ALLOWED))
        try:
            change = fitting.read(plant, fields)
        except Refused as refused:
            faults += [Fault(f"line {line}, column {each.place}", each.found, each.allowed) for each in refused.faults]
            continue
        if change in lines:
            faults.append(Fault(f"line {line}", f"{change} is on line {lines[change]} too", "one line each"))
        lines.setdefault(change, line)
        allowed[change] = effort
    for group, count in Counter(change.group for change in allowed).items():
        if count > fitting.MOST:
            faults.append(Fault("(file)", f"{count} changes of {group}", f"at most {fitting.MOST} of one group"))
    if faults:
        raise Refused(name, faults)
    return allowed
