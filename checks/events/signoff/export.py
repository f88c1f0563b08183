"""Something that was handed out: a record, a report, a plant file, a list. No screen shows it."""

from __future__ import annotations

from collections.abc import Container

from checks.journal.event_body import EventBody


class Body(EventBody):
    """``what`` was handed out; of a record also its revision, the length of the journal and how many events it shows."""

    KIND = "export"
    PERMISSION = ""

    what: str
    system: str | None = None
    number: int | None = None
    events: int | None = None
    shown: int | None = None

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether it is a record of the system."""
        return self.system == system
