"""A piece of evidence beside an answer."""

from __future__ import annotations

from checks.journal.event_body import AnswerEvent


class Body(AnswerEvent):
    """Evidence: what it is, what it shows, its strength 0 to 5, and until which day or event it is valid."""

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
        """In words why a revision that rests on the answer is invalid."""
        return f"evidence was added to {self.question} of {self.of}"
