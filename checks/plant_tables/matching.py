"""Which sheet a table of a list is, and which column each of its heads: by key, by name, or by likeness."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from functools import cache, lru_cache
from typing import Literal

from checks.plant_tables.columns import SHEETS, Column
from checks.plant_tables.entries import OWNER, Sheet
from checks.plant_tables.list_file import Table

LIKE = 0.82
"""Likeness of two names, 0 to 1, from which they may be the same column."""
LOOKED_AT = 30
"""Rows among which the head of a table is looked for."""
LONGEST_HEAD = 200
"""Characters of a head; a longer text names no column, and finding a unit in it would take long."""
EXAMPLE = "(example)"
"""Begins the id of a row that is an example and is not read."""
NOT_READ = ""
"""Key of a head that is not read."""

How = Literal["key", "name", "like", "chosen", "none"]
_UNIT = re.compile(r"[\[(]\s*([^\])]*?)\s*[\])]\s*$")
_GREEK = str.maketrans({"λ": "lambda ", "β": "beta "})


@dataclass(frozen=True, slots=True)
class Match:
    """One head of a table: its column by key (empty: not read), how it was found, and the unit in the head."""

    head: str
    key: str
    how: How
    unit: str = ""


@dataclass(frozen=True)
class Chosen:
    """What people chose for a list: the sheet of each table by its title, and the key of a head by sheet and head."""

    sheets: Mapping[str, str] = field(default_factory=dict)
    columns: Mapping[str, Mapping[str, str]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Matched:
    """A table with its sheet (empty: not read), the number of its head row, and its heads."""

    table: Table
    sheet: str
    head_row: int
    matches: tuple[Match, ...]


def split_unit(head: str) -> tuple[str, str]:
    """Name and unit of a head, both plain: lower case, no punctuation in the name. A longer text is no head.

    >>> split_unit("Proof-test interval [h]"), split_unit("λ_DU (per hour)")
    (('proof test interval', 'h'), ('lambda du', 'per hour'))
    """
    if len(head) > LONGEST_HEAD:
        return "", ""
    text = head.strip().translate(_GREEK)
    unit = _UNIT.search(text)
    name = text[: unit.start()] if unit else text
    bare = re.sub(r"[^a-z0-9%]+", " ", name.lower()).strip()
    return bare, unit[1].strip().lower() if unit else ""


@cache
def _names(sheet: str) -> Mapping[str, tuple[str, How]]:
    """Names of the columns of a sheet, plain, each with its key."""
    names: dict[str, tuple[str, How]] = {}
    for column in SHEETS[sheet]:
        names.setdefault(split_unit(column.key)[0], (column.key, "key"))
        for name in (column.title, *column.also):
            names.setdefault(split_unit(name)[0], (column.key, "name"))
    ends: dict[str, list[Column]] = {}
    for column in SHEETS[sheet]:
        ends.setdefault(split_unit(column.key.rpartition(".")[2])[0], []).append(column)
    for name, columns in ends.items():
        if len(columns) == 1:
            names.setdefault(name, (columns[0].key, "key"))
    return names


def matches(heads: Sequence[str], sheet: str, chosen: Mapping[str, str] | None = None) -> tuple[Match, ...]:
    """The column of each head; each column at most once, the surest match first."""
    taken: dict[int, Match] = {}
    candidates: list[tuple[int, float, int, Match]] = []
    for at, head in enumerate(heads):
        name, unit = split_unit(head)
        if chosen and head in chosen:
            candidates.append((0, 0.0, at, Match(head, chosen[head], "chosen", unit)))
            continue
        for known, (key, how) in _names(sheet).items():
            if known == name and name:
                candidates.append((1 if how == "key" else 2, 0.0, at, Match(head, key, how, unit)))
            elif name and (ratio := _likeness(known, name)) >= LIKE:
                candidates.append((3, -ratio, at, Match(head, key, "like", unit)))
    used: set[str] = set()
    for _, _, at, match in sorted(candidates, key=lambda candidate: candidate[:3]):
        if at not in taken and (match.key == NOT_READ or match.key not in used):
            taken[at] = match
            used.add(match.key)
    return tuple(taken.get(at) or Match(head, NOT_READ, "none", split_unit(head)[1]) for at, head in enumerate(heads))


@lru_cache(maxsize=20_000)
def _likeness(known: str, name: str) -> float:
    """Likeness of two names, 0 to 1; 0 where their lengths alone rule it out."""
    pair = SequenceMatcher(None, known, name)
    return pair.ratio() if pair.real_quick_ratio() >= LIKE and pair.quick_ratio() >= LIKE else 0.0


def matched(table: Table, chosen: Chosen) -> Matched:
    """A table with its sheet and its columns, as far as they are known or chosen."""
    sheet = chosen.sheets.get(table.title)
    if sheet == NOT_READ:
        return Matched(table, NOT_READ, 0, ())
    candidates = [sheet] if sheet is not None and sheet in SHEETS else list(SHEETS)
    best = max(
        (_at(table, each, chosen.columns.get(each)) for each in candidates),
        key=lambda found: (_by_title(table.title, found.sheet), _known(found)),
    )
    return best if sheet in SHEETS or _known(best) >= 2 else Matched(table, NOT_READ, 0, best.matches)


def _by_title(title: str, sheet: str) -> float:
    """Whether the title of a table names a sheet."""
    return _likeness(sheet.lower(), split_unit(title)[0])


def _known(found: Matched) -> int:
    """How many heads are known; without the column of the id none counts."""
    keys = {match.key for match in found.matches if match.key}
    return len(keys) if OWNER.get(found.sheet, "id") in keys else 0


def _at(table: Table, sheet: str, chosen: Mapping[str, str] | None) -> Matched:
    """The table as this sheet: its head is the row with the most known columns among the first."""
    number, cells = max(table.rows[:LOOKED_AT], key=lambda row: (_named(row[1], sheet, chosen), -row[0]))
    return Matched(table, sheet, number, matches(cells, sheet, chosen))


def _named(cells: Sequence[str], sheet: str, chosen: Mapping[str, str] | None) -> int:
    """How many cells of a row are a name of a column, without regard to likeness."""
    return sum(split_unit(cell)[0] in _names(sheet) or cell in (chosen or {}) for cell in cells if cell)


def sheet_of(found: Matched) -> Sheet:
    """The rows of a matched table below its head, without examples."""
    owner = OWNER.get(found.sheet, "id")
    at_key = {match.key: at for at, match in enumerate(found.matches) if match.key}
    rows = []
    for number, cells in found.table.rows:
        if number > found.head_row:
            row = {key: cells[at] for key, at in at_key.items() if at < len(cells) and cells[at]}
            if not row.get(owner, "").startswith(EXAMPLE):
                rows.append((number, row))
    units = {match.key: match.unit for match in found.matches if match.key and match.unit}
    return Sheet(found.sheet, tuple(rows), tuple(at_key), units)
