"""A new safety function from a few choices: the rows that it adds to the sheets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from checks.plant_tables.rows import Row
from scoring.common_cause import Part


@dataclass(frozen=True, slots=True)
class NewGroup:
    """One part of a new function: a group that is there already (only ``id``), or a new one.

    ``voting`` such as 2oo3; ``devices`` are in series in each channel. ``test`` and ``result`` are the cells of the proof test and
    of a stated result by key. With a stated result there is neither voting nor test.
    """

    id: str
    known: bool
    part: Part
    name: str = ""
    voting: str = ""
    devices: Sequence[str] = ()
    zone: str = ""
    programmable: bool = True
    cells: Mapping[str, str] | None = None


@dataclass(frozen=True, slots=True)
class NewFunction:
    """A new function: ``cells`` of its own row by key, its groups, and the rows of new devices."""

    cells: Row
    groups: Sequence[NewGroup]
    devices: Sequence[Row]


def rows_of(function: NewFunction) -> dict[str, list[Row]]:
    """The rows that a new function adds, sheet by sheet."""
    groups = [_group(group) for group in function.groups if not group.known]
    own = {**function.cells, "groups": "; ".join(group.id for group in function.groups)}
    return {"Functions": [own], "Groups": groups, "Devices": list(function.devices)}


def _group(group: NewGroup) -> Row:
    cells = {
        "id": group.id,
        "name": group.name,
        "part": group.part,
        "voting": group.voting,
        "channels": "; ".join(["+".join(group.devices)] * _channels(group.voting)),
        "zone": group.zone,
        "programmable": "yes" if group.programmable else "no",
        **(group.cells or {}),
    }
    return {key: text for key, text in cells.items() if text}


def _channels(voting: str) -> int:
    """N of a voting as typed; 1 where it cannot be read, for the draft names that fault."""
    digits = [letter for letter in voting if letter.isdigit()]
    return int(digits[-1]) if len(digits) == 2 else 1
