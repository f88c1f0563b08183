"""Published tables: one file each, with source, confidence and check sums.

Rows and digits are as printed. Reading a table compares the number of rows and the sum of each column
with the check in the file, so a damaged table is never used.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import fsum
from pathlib import Path
from typing import Any

import yaml

CONFIDENCES = ("read", "cross-checked", "closure", "memory")
"""read: seen in print. cross-checked: two sources. closure: from memory, and passes an arithmetic check
that one wrong entry would fail. memory: from memory only."""

FOLDER = Path(__file__).parent / "tables"


class TableDamaged(ValueError):
    """A table file does not add up to its own check sums."""

    def __init__(self, name: str, what: str) -> None:
        super().__init__(f"table {name}: {what}; restore the file scoring/tables/{name}.yaml")


@dataclass(frozen=True, slots=True)
class Table:
    """One published table. ``rows`` keep the printed order; ``values`` of a row follow ``columns``."""

    name: str
    document: str
    edition: str
    place: str
    confidence: str
    columns: tuple[str, ...]
    rows: tuple[dict[str, Any], ...]
    extra: dict[str, Any]

    @property
    def citation(self) -> str:
        """Document, edition and place in one line."""
        return f"{self.document}:{self.edition}, {self.place}"


@cache
def table(name: str) -> Table:
    """Read ``scoring/tables/<name>.yaml``; raises TableDamaged for a file that fails its own check sums."""
    raw = yaml.safe_load((FOLDER / f"{name}.yaml").read_text(encoding="utf-8"))
    check, rows, columns = raw.pop("check"), raw.pop("rows"), raw.pop("columns")
    if len(rows) != check["rows"]:
        raise TableDamaged(name, f"{len(rows)} rows instead of {check['rows']}")
    for index, column in enumerate(columns):
        total = fsum(row["values"][index] or 0.0 for row in rows)
        if not abs(total - check["sums"][index]) <= 1e-9:
            raise TableDamaged(name, f"column {column} adds to {total} instead of {check['sums'][index]}")
    head = {key: str(raw.pop(key)) for key in ("document", "edition", "place", "confidence")}
    return Table(name=name, columns=tuple(columns), rows=tuple(rows), extra=raw, **head)
