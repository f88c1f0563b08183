"""Plant data found right after a change."""

from __future__ import annotations

from collections.abc import Container

from checks.journal.event_body import EventBody


class Body(EventBody):
    """``places`` are fields of the plant file, such as ``groups.pt-301.proof_test``; ``systems`` those that rest on them.

    ``how`` says against what they were checked.
    """

    KIND = "data-checked"
    PERMISSION = "record a change"
    TAKES_PART = True
    DID = "checked plant data"

    places: tuple[str, ...]
    systems: tuple[str, ...]
    how: str

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether the system rests on one of the places."""
        return system in self.systems
