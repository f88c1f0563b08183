"""A dissent settled by evidence."""

from __future__ import annotations

from checks.journal.event_body import AnswerEvent


class Body(AnswerEvent):
    """The dissent of ``who`` is closed by ``evidence``, in words."""

    KIND = "dissent-closed"
    PERMISSION = "record a dissent"
    TAKES_PART = True
    NAMED_DID = "settled a dissent"
    CHANGES_ANSWER = True

    who: str
    evidence: str

    def invalidates(self) -> str:
        """Why a revision based on the answer is invalid, in words."""
        return f"the dissent on {self.question} of {self.of} was settled"

    def names(self) -> tuple[str, ...]:
        """The dissenter."""
        return (self.who,)
