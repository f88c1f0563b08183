"""What is wrong with something a person handed in: every fault at once, each as one line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

MOST_LISTED = 500


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: where it is, what was found there, and what is allowed."""

    place: str
    found: str
    allowed: str
    line: int | None = None

    def __str__(self) -> str:
        at = f"{self.place} (line {self.line})" if self.line else self.place
        return f"{at}: {self.found}; {self.allowed}"


class Refused(ValueError):
    """Input that is not taken. ``faults`` holds every one that was found; nothing stored was touched."""

    def __init__(self, name: str, faults: Iterable[Fault]) -> None:
        self.name, self.faults = name, tuple(faults)
        super().__init__("\n".join(self.lines()))

    def lines(self) -> list[str]:
        """One line a fault, each with the name of the file."""
        shown = [f"{self.name}: {fault}" for fault in self.faults[:MOST_LISTED]]
        more = len(self.faults) - len(shown)
        return [*shown, f"{self.name}: and {more} more faults of the same file"] if more else shown
