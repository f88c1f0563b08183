"""A piece of evidence that is withdrawn."""

from __future__ import annotations

from checks.journal.event_body import AnswerEvent


class Body(AnswerEvent):
    """``evidence`` is the number of the event that recorded it."""

    KIND = "evidence-withdrawn"
    PERMISSION = "record evidence"
    TAKES_PART = True
    DID = "withdrew evidence"
    CHANGES_ANSWER = True

    evidence: int
    reason: str

    def invalidates(self) -> str:
        """In words why a revision that rests on the answer is invalid."""
        return f"evidence of {self.question} of {self.of} was withdrawn"
