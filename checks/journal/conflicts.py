"""Two people change the same thing at once: the second is told what the first one did."""

from __future__ import annotations

from checks.journal.event import Event


class Overtaken(RuntimeError):
    """Somebody else changed the same thing after it was shown; ``theirs`` is their event."""

    def __init__(self, theirs: Event) -> None:
        self.theirs = theirs
        who = theirs.by or "somebody"
        super().__init__(f"{who} was first, at {theirs.at[11:19]} UTC. Yours was not stored; check theirs, then decide")
