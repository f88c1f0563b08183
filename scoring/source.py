"""Published tables: one file each, with its source, its confidence and its check sums.

A table is typed in the row order and with the digits of the paper. Reading one compares the number
of rows and the sum of every column with the check printed in the file, so that a damaged table is
never computed with.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import fsum
from pathlib import Path
from typing import Any

import yaml

CONFIDENCES = ("read", "cross-checked", "closure", "memory")
"""read: seen in print. cross-checked: two sources. closure: recalled, and passes an arithmetic check
that one wrong entry would fail. memory: recalled only."""

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
    """Read ``scoring/tables/<name>.yaml``; refuses a file that fails its own check sums."""
    raw = yaml.safe_load((FOLDER / f"{name}.yaml").read_text(encoding="utf-8"))
    check, rows, columns = raw.pop("check"), raw.pop("rows"), raw.pop("columns")
    if len(rows) != check["rows"]:
        raise TableDamaged(name, f"{len(rows)} rows instead of {check['rows']}")
    for at, column in enumerate(columns):
        total = fsum(row["values"][at] or 0.0 for row in rows)
        if not abs(total - check["sums"][at]) <= 1e-9:
            raise TableDamaged(name, f"column {column} adds to {total} instead of {check['sums'][at]}")
    head = {key: str(raw.pop(key)) for key in ("document", "edition", "place", "confidence")}
    return Table(name=name, columns=tuple(columns), rows=tuple(rows), extra=raw, **head)
