"""A dissent: an answer that a member holds against the adopted one."""

from __future__ import annotations

from checks.journal.event_body import AnswerEvent


class Body(AnswerEvent):
    """``who`` in which role answers ``value``, why, and what evidence would settle it. Reports name roles only."""

    KIND = "dissent"
    PERMISSION = "record a dissent"
    TAKES_PART = True
    CHANGES_ANSWER = True

    value: str
    who: str
    role: str
    reason: str
    settles: str

    def invalidates(self) -> str:
        """In words why a revision that rests on the answer is invalid."""
        return f"a dissent on {self.question} of {self.of}"

    def names(self) -> tuple[str, ...]:
        """Who dissents."""
        return (self.who,)
