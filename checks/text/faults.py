"""What is wrong with something a person handed in: every fault at once, each as one line."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

MOST_LISTED = 500

UNSTORABLE = re.compile("[\x00\ud800-\udfff]")
"""What no text may hold. PostgreSQL does not take NUL (its documentation, 8.3 Character Types), so it is refused
everywhere; a lone half of a surrogate pair is no character."""
STORABLE = "text without NUL and without halves of characters"


def printable(text: str) -> str:
    r"""Text in one line in which nothing acts on a terminal.

    >>> printable("a\nb")
    'a\\nb'
    """
    return "".join(one if one.isprintable() else one.encode("unicode_escape").decode() for one in text)


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: where it is, what was found there, and what is allowed."""

    place: str
    found: str
    allowed: str
    line: int | None = None

    def __str__(self) -> str:
        at = f"{self.place} (line {self.line})" if self.line else self.place
        return printable(f"{at}: {self.found}; {self.allowed}")


class Refused(ValueError):
    """Input that is not taken. ``faults`` holds every one that was found; nothing stored was touched."""

    def __init__(self, name: str, faults: Iterable[Fault], *, unlisted: int = 0) -> None:
        self.name, self.faults, self.unlisted = name, tuple(faults), unlisted
        super().__init__("\n".join(self.lines()))

    def lines(self) -> list[str]:
        """One line a fault, each with the name of the file."""
        shown = [f"{printable(self.name)}: {fault}" for fault in self.faults[:MOST_LISTED]]
        more = len(self.faults) - len(shown) + self.unlisted
        return [*shown, f"{printable(self.name)}: and at least {more} more faults of the same file"] if more else shown
