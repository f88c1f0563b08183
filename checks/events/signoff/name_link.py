"""A person's earlier name, linked to the present one by the asset owner."""

from __future__ import annotations

from collections.abc import Container

from checks.journal.event_body import EventBody


class Body(EventBody):
    """``earlier`` is a name under which ``name`` is on record; ``reason`` says why it is the same person."""

    KIND = "name-linked"
    PERMISSION = "enrol or withdraw a key"

    name: str
    earlier: str
    reason: str

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Always true: the person may have a part in any system."""
        return True

    def entered_names(self) -> tuple[tuple[str, str], ...]:
        """The present name; the earlier one is on record as it is."""
        return (("name", self.name),)
