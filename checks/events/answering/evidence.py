"""A piece of evidence for an answer."""

from __future__ import annotations

from checks.journal.event_body import AnswerEvent


class Body(AnswerEvent):
    """Evidence: what it is, what it shows, its strength (0 to 5), and the day or event until which it is valid."""

    KIND = "evidence"
    PERMISSION = "record evidence"
    TAKES_PART = True
    DID = "recorded evidence"
    CHANGES_ANSWER = True

    kind: str
    identifier: str
    revision: str
    dated: str
    shows: str
    strength: int
    valid_until: str
    until_event: str

    def invalidates(self) -> str:
        """Why a revision based on the answer is invalid, in words."""
        return f"evidence was added to {self.question} of {self.of}"
