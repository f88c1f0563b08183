"""An export: a record, a report, a plant file or a list. No screen shows these events."""

from __future__ import annotations

from collections.abc import Container

from checks.journal.event_body import EventBody


class Body(EventBody):
    """``what`` was exported; for a record also its revision, the number of events in the journal and of those shown."""

    KIND = "export"
    PERMISSION = ""

    what: str
    system: str | None = None
    number: int | None = None
    events: int | None = None
    shown: int | None = None

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether it exports a record of the system."""
        return self.system == system
