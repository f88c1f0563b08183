"""A change or the start of an assessment is taken back by its author: what it reopened and invalidated is as before."""

from __future__ import annotations

from collections.abc import Container

from checks.journal.event_body import EventBody


class Body(EventBody):
    """``entry`` is the number of the event taken back, ``systems`` are those that it concerned."""

    KIND = "entry-taken-back"
    PERMISSION = ""
    TAKES_PART = True
    DID = "took an entry back"

    entry: int
    systems: tuple[str, ...]

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether the entry concerned the system."""
        return system in self.systems
