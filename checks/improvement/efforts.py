"""Efforts of answers and allowed changes with theirs as CSV files: question, of, effort; group, change, test, to, effort."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from checks.allowed_changes import fitting
from checks.allowed_changes.change import GroupChange
from checks.events.plant.effort import LARGEST
from checks.plantfile.consistency import answer_faults
from checks.plantfile.plant import Asked, Plant
from checks.spreadsheets import csv_text
from checks.spreadsheets.cells import guarded, unguarded
from checks.spreadsheets.sheet import ACTION_LIST
from checks.spreadsheets.workbook import MOST_BYTES
from checks.text import files
from checks.text.faults import Fault, Refused

COLUMNS = ("question", "of", "effort")
CHANGE_COLUMNS = ("group", "change", "test", "to", "effort")
HEAD = f"columns {', '.join(COLUMNS)}"
ALLOWED = "a number above 0, at most 1,000,000, such as 2.5"
"""What an effort may be; its unit is the team's own, such as days."""


def number(text: str) -> float:
    """The effort of a text; raises ValueError where it is no number in the range.

    >>> number(" 2.5 ")
    2.5
    """
    if not text.isascii() or "_" in text:
        raise ValueError(text)
    value = float(text)
    if not 0.0 < value <= LARGEST:
        raise ValueError(text)
    return value


def read(path: Path, plant: Plant) -> dict[Asked, float]:
    """Efforts of a file; raises Refused with every faulty line, what was found there, and what is allowed."""
    return from_bytes(str(path), files.read(path, "a file of efforts", MOST_BYTES), plant)


def from_bytes(name: str, raw: bytes, plant: Plant) -> dict[Asked, float]:
    """Efforts of the content of a file; raises Refused as ``read`` does."""
    efforts: dict[Asked, float] = {}
    faults: list[Fault] = []
    lines: dict[Asked, int] = {}
    for line, fields in table(name, raw, COLUMNS):
        asked = (fields["question"], fields["of"])
        faults += _faults(line, fields, plant)
        if asked in lines:
            faults.append(
                Fault(f"line {line}", f"{asked[0]} of {asked[1]} is on line {lines[asked]} too", "one line each")
            )
        lines.setdefault(asked, line)
        if not faults:
            efforts[asked] = number(fields["effort"])
    if faults:
        raise Refused(name, faults)
    return efforts


def table(name: str, raw: bytes, columns: Sequence[str]) -> list[tuple[int, dict[str, str]]]:
    """The lines of a CSV file below its head, each with its texts by column; raises Refused where a column is missing or unknown."""
    text = csv_text.decoded(name, raw)
    delimiter = ";" if ";" in text.partition("\n")[0] else ","
    rows = csv_text.rows(name, text, delimiter, ACTION_LIST)
    head = [cell.strip().casefold() for cell in rows[0][1]] if rows else []
    if not rows or sorted(filter(None, head)) != sorted(columns):
        found = f"line {rows[0][0]}: {', '.join(head)}" if rows else "no line"
        raise Refused(name, [Fault("(head)", found, f"columns {', '.join(columns)}")])
    return [
        (
            line,
            {column: unguarded(cell.strip()) for column, cell in zip(head, [*cells, *[""] * len(head)], strict=False)},
        )
        for line, cells in rows[1:]
    ]


def _faults(line: int, fields: Mapping[str, str], plant: Plant) -> Iterable[Fault]:
    place = f"line {line}"
    blocks: dict[str, dict[str, Any]] = {
        "systems": dict(plant.systems),
        "groups": dict(plant.groups),
        "zones": dict(plant.zones),
    }
    for column in ("question", "of"):
        if not fields[column]:
            yield Fault(place, f"no {column}", HEAD)
    if fields["of"] != "plant" and fields["of"].partition(":")[0] not in ("system", "group", "zone"):
        yield Fault(place, f"of {fields['of']}", "plant, system:ID, group:ID or zone:ID")
    for _, found, allowed in answer_faults({"question": fields["question"], "of": fields["of"]}, blocks):
        yield Fault(place, found, allowed)
    try:
        number(fields["effort"])
    except ValueError:
        yield Fault(place, f"effort {fields['effort'] or '(empty)'}", ALLOWED)


def read_changes(path: Path, plant: Plant) -> dict[GroupChange, float]:
    """Allowed changes of a file with their efforts; raises Refused with every faulty line and column, and what is allowed."""
    return changes_from_bytes(str(path), files.read(path, "a file of allowed changes", MOST_BYTES), plant)


def changes_from_bytes(name: str, raw: bytes, plant: Plant) -> dict[GroupChange, float]:
    """Allowed changes of the content of a file; raises Refused as ``read_changes`` does."""
    allowed: dict[GroupChange, float] = {}
    lines: dict[GroupChange, int] = {}
    faults: list[Fault] = []
    for line, fields in table(name, raw, CHANGE_COLUMNS):
        try:
            effort = number(fields["effort"])
        except ValueError:
            effort = 0.0
            faults.append(Fault(f"line {line}, column effort", fields["effort"] or "(empty)", ALLOWED))
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


def as_csv(efforts: Mapping[Asked, float]) -> str:
    """The content of a file of efforts."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows((guarded(question), guarded(of), f"{effort:g}") for (question, of), effort in efforts.items())
    return out.getvalue()
