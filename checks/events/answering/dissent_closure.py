"""A dissent that evidence has settled."""

from __future__ import annotations

from checks.journal.event_body import AnswerEvent


class Body(AnswerEvent):
    """The dissent of ``who`` is closed by ``evidence``, in words."""

    KIND = "dissent-closed"
    PERMISSION = "record a dissent"
    TAKES_PART = True
    CHANGES_ANSWER = True

    who: str
    evidence: str

    def invalidates(self) -> str:
        """In words why a revision that rests on the answer is invalid."""
        return f"the dissent on {self.question} of {self.of} was settled"

    def names(self) -> tuple[str, ...]:
        """Who dissented."""
        return (self.who,)
