"""A dissent: a different answer by one member against the adopted one."""

from __future__ import annotations

from checks.journal.event_body import AnswerEvent


class Body(AnswerEvent):
    """``who``, in ``role``, answers ``value``; the reason, and the evidence that would settle it. Reports name roles only."""

    KIND = "dissent"
    PERMISSION = "record a dissent"
    TAKES_PART = True
    NAMED_DID = "recorded a dissent"
    CHANGES_ANSWER = True

    value: str
    who: str
    role: str
    reason: str
    settles: str

    def invalidates(self) -> str:
        """Why a revision based on the answer is invalid, in words."""
        return f"a dissent on {self.question} of {self.of}"

    def names(self) -> tuple[str, ...]:
        """The dissenter."""
        return (self.who,)

    def entered_names(self) -> tuple[tuple[str, str], ...]:
        """The dissenter."""
        return (("who", self.who),)
