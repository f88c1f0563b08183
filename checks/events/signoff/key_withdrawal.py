"""Withdrawal of a key from a day on."""

from __future__ import annotations

from collections.abc import Container

from pydantic import Field

from checks.journal.event_body import EventBody


class Body(EventBody):
    """Signatures made with ``key`` on or after ``from_day`` do not count."""

    KIND = "key-withdrawn"
    PERMISSION = "enrol or withdraw a key"

    key: str
    from_day: str = Field(validation_alias="from", serialization_alias="from")
    reason: str

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Always true: the signer may have signed for any system."""
        return True
