"""A key that counts no more from a day on."""

from __future__ import annotations

from collections.abc import Container

from pydantic import Field

from checks.journal.event_body import EventBody


class Body(EventBody):
    """What ``key`` signs from ``from_day`` on does not count."""

    KIND = "key-withdrawn"
    PERMISSION = "enrol or withdraw a key"

    key: str
    from_day: str = Field(validation_alias="from", serialization_alias="from")
    reason: str

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Its signer may have signed for any system."""
        return True
