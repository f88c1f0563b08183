"""Answers confirmed after a change or for the next assessment."""

from __future__ import annotations

from collections.abc import Container

from checks.journal.event_body import EventBody, NamedAnswer


class Body(EventBody):
    """Confirmed answers; ``topic`` where those of one topic were confirmed together, else empty."""

    KIND = "confirmed"
    PERMISSION = "confirm an answer"
    TAKES_PART = True
    DID = "confirmed answers"

    answers: tuple[NamedAnswer, ...]
    topic: str = ""

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether one of the answers is for an addressee of the system."""
        return any(answer.of in addressees for answer in self.answers)
