"""Withdrawal of a piece of evidence."""

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
        """Why a revision based on the answer is invalid, in words."""
        return f"evidence of {self.question} of {self.of} was withdrawn"
