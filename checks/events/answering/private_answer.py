"""An answer that a member gives before the meeting; nobody else sees it before it is revealed."""

from __future__ import annotations

from checks.journal.event_body import AnswerEvent


class Body(AnswerEvent):
    """A private answer of ``who``."""

    KIND = "private"
    PERMISSION = "answer privately"
    TAKES_PART = True
    SEALED = True

    who: str
    value: str
    note: str = ""

    def names(self) -> tuple[str, ...]:
        """Who gave it."""
        return (self.who,)
