"""Faults of an input file: all of them at once, one line each."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

MOST_LISTED = 500

UNSTORABLE = re.compile("[\x00\ud800-\udfff]")
"""Characters not allowed in any text. PostgreSQL rejects NUL (its documentation, 8.3 Character Types), so every store does;
half of a surrogate pair is not a character."""
STORABLE = "text without NUL and without halves of characters"


def printable(text: str) -> str:
    r"""Text on one line, with control characters escaped, so that it cannot act on a terminal.

    >>> printable("a\nb")
    'a\\nb'
    """
    return "".join(char if char.isprintable() else char.encode("unicode_escape").decode() for char in text)


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: its place, what was found there, and what is allowed."""

    place: str
    found: str
    allowed: str
    line: int | None = None

    def __str__(self) -> str:
        at = f"{self.place} (line {self.line})" if self.line else self.place
        return printable(f"{at}: {self.found}; {self.allowed}")


class Refused(ValueError):
    """Invalid input. ``faults`` lists all its faults, ``unlisted`` counts further ones; nothing is stored."""

    def __init__(self, name: str, faults: Iterable[Fault], *, unlisted: int = 0) -> None:
        self.name, self.faults, self.unlisted = name, tuple(faults), unlisted
        super().__init__("\n".join(self.lines()))

    def lines(self) -> list[str]:
        """One line for each fault, with the name of the file; at most MOST_LISTED and a line that counts the others."""
        shown = [f"{printable(self.name)}: {fault}" for fault in self.faults[:MOST_LISTED]]
        more = len(self.faults) - len(shown) + self.unlisted
        return [*shown, f"{printable(self.name)}: and at least {more} more faults of the same file"] if more else shown
