"""The public key of a signer, enrolled by the asset owner."""

from __future__ import annotations

from collections.abc import Container

from checks.journal.event_body import EventBody


class Body(EventBody):
    """``key`` is the id of the public key; ``name`` may sign in ``roles``."""

    KIND = "key"
    PERMISSION = "enrol or withdraw a key"

    key: str
    public: str
    name: str
    roles: tuple[str, ...]

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Always true: a signer may sign for any system."""
        return True

    def entered_names(self) -> tuple[tuple[str, str], ...]:
        """The key holder."""
        return (("name", self.name),)
