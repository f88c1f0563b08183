"""The private answers to some questions are shown to everybody."""

from __future__ import annotations

from collections.abc import Container

from checks.journal.event_body import EventBody, NamedAnswer


class Body(EventBody):
    """Questions whose private answers are revealed."""

    KIND = "revealed"
    PERMISSION = "reveal the private answers"
    TAKES_PART = True
    DID = "revealed private answers"
    SEALED = True

    answers: tuple[NamedAnswer, ...]

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether one of the questions is for an addressee of the system."""
        return any(answer.of in addressees for answer in self.answers)
