"""Two people changed the same thing at once: the second is told what the first one did."""

from __future__ import annotations

from checks.journal.event import Event
from checks.plantfile.plant import Answer


class AnsweredMeanwhile(RuntimeError):
    """Somebody else answered the same question of the same addressee after it was shown here."""

    def __init__(self, theirs: Answer) -> None:
        self.theirs = theirs
        who = theirs.by or "somebody"
        super().__init__(
            f"{who} answered this first: {theirs.value}. Your answer was not stored on top of it; "
            "look at theirs and answer again if you disagree"
        )


class Overtaken(RuntimeError):
    """Somebody else changed the same thing after it was shown here."""

    def __init__(self, theirs: Event) -> None:
        self.theirs = theirs
        who = theirs.by or "somebody"
        super().__init__(
            f"{who} was first, at {theirs.at[11:19]} UTC; yours was not stored. Look at theirs, then decide"
        )
