"""What can go wrong with the store, each as a sentence for the person at the screen."""

from __future__ import annotations

from checks.plant import Answer
from checks.record.journal import Event


class StoreUnavailable(RuntimeError):
    """The database cannot be read or written. Nothing that was stored is lost."""

    def __init__(self, what: str, do: str) -> None:
        super().__init__(f"{what}. Nothing stored was lost; {do}.")


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


class NoSuchPlant(LookupError):
    """A plant that is not in the store."""

    def __init__(self, which: int | str) -> None:
        named = f"plant {which}" if isinstance(which, int) else which
        super().__init__(f"{named} is not in the store; choose one from the list")
