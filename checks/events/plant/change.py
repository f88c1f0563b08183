"""A change of the plant, an advisory, or the consequences of a failure."""

from __future__ import annotations

from collections.abc import Container

from pydantic import Field

from checks.journal.event_body import EventBody, NamedAnswer

OF_FAILURE = "Failure: "
"""How a change begins that follows from a failure; it stands right behind the failure in the journal."""


class Body(EventBody):
    """What changed and when; the answers it reopens, the plant data to check, the systems it concerns.

    ``kind`` is a key of ``reassessment/changes.yaml``, ``touched`` are addressees, ``topics`` those of the kind and any others named.
    """

    KIND = "change"
    PERMISSION = "record a change"
    TAKES_PART = True
    DID = "recorded a change"

    reference: str
    on: str
    what: str
    kind: str
    touched: tuple[str, ...]
    topics: tuple[str, ...]
    reopened: tuple[NamedAnswer, ...]
    data_to_check: tuple[str, ...] = Field(validation_alias="data", serialization_alias="data")
    systems: tuple[str, ...]

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether it names the system."""
        return system in self.systems

    def invalidates(self) -> str:
        """The change in words: its reference, where it has one, and what was changed."""
        return (f"{self.reference}: {self.what}" if self.reference else self.what) or "a change"
