"""A plant is put away, out of the list of plants, or brought back. Nothing of it is deleted."""

from __future__ import annotations

from collections.abc import Container

from checks.journal.event_body import EventBody


class Body(EventBody):
    """``archived`` is true where the plant is put away, false where it is brought back."""

    KIND = "archive"
    PERMISSION = "archive a plant"

    archived: bool

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Always false: it changes no answer and no result, and no record file shows it."""
        return False
