"""An answer that a member gives before the meeting, hidden from others until it is revealed."""

from __future__ import annotations

from checks.journal.event_body import AnswerEvent


class Body(AnswerEvent):
    """A private answer of ``who``."""

    KIND = "private"
    PERMISSION = "answer privately"
    TAKES_PART = True
    NAMED_DID = "answered privately"
    SEALED = True

    who: str
    value: str
    note: str = ""

    def names(self) -> tuple[str, ...]:
        """The author of the answer."""
        return (self.who,)
