"""Measured times, and the table of all results."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil, inf
from statistics import median
from time import perf_counter
from typing import Any

HEAD = ("measured", "n", "median", "p95", "aim", "")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the table: what was measured, all times [s], and the aims for median and p95 [s].

    ``said`` is a remark; a line without an aim shows it instead of a verdict.
    """

    what: str
    took: Sequence[float]
    aim: float | None = None
    aim_p95: float | None = None
    said: str = ""

    @property
    def median(self) -> float:
        """Median of the times [s]."""
        return median(self.took)

    @property
    def p95(self) -> float:
        """95th percentile of the times, by nearest rank [s]."""
        return sorted(self.took)[ceil(0.95 * len(self.took)) - 1]

    @property
    def verdict(self) -> str:
        """Whether the aims are met."""
        if self.aim is None:
            return self.said
        late = self.median > self.aim or (self.aim_p95 is not None and self.p95 > self.aim_p95)
        return f"{'MISSED' if late else 'met'}{self.said and ', '}{self.said}"

    def cells(self) -> tuple[str, ...]:
        """The line as cells of the table."""
        if not self.took:
            return (self.what, "0", "-", "-", "-", self.said)
        many = len(self.took) > 1
        aims = [time(aim_time) for aim_time in (self.aim, self.aim_p95) if aim_time is not None]
        shown = (time(self.median), time(self.p95) if many else "-", " / ".join(aims) or "-")
        return (self.what, str(len(self.took)), *shown, self.verdict)


def time(seconds: float) -> str:
    """A time as text.

    >>> time(0.0123), time(0.35), time(4.2)
    ('12 ms', '350 ms', '4.2 s')
    """
    if seconds == inf:
        return "no end"
    if seconds < 0.01:
        return f"{seconds * 1e3:.1f} ms"
    return f"{seconds * 1e3:.0f} ms" if seconds < 1.0 else f"{seconds:.1f} s"


def once(what: Callable[[], Any]) -> tuple[Any, float]:
    """Result of a call, and its time [s]."""
    begun = perf_counter()
    result = what()
    return result, perf_counter() - begun


def table(lines: Sequence[Line]) -> str:
    """All lines in columns."""
    rows = [HEAD, *(line.cells() for line in lines)]
    widths = [max(len(row[at]) for row in rows) for at in range(len(HEAD))]
    shown = [
        "  ".join(
            cell.ljust(width) if at in (0, 5) else cell.rjust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        for row in rows
    ]
    return "\n".join(line.rstrip() for line in [shown[0], "-" * len(shown[0]), *shown[1:]])
