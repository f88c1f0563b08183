"""Errors of the store, each with a sentence for the person at the screen."""

from __future__ import annotations

from checks.journal.event import Event


class StoreUnavailable(RuntimeError):
    """The database cannot be read or written. ``kept`` says what became of what is stored, where it is not simply safe."""

    def __init__(self, what: str, do: str, *, kept: str = "Nothing stored was lost") -> None:
        super().__init__(f"{what}. {kept}; {do}.")


class NoSuchPlant(LookupError):
    """A plant that is not in the store."""

    def __init__(self, plant: int | str) -> None:
        named = f"plant {plant}" if isinstance(plant, int) else plant
        super().__init__(f"{named} is not in the store; choose one from the list")


class Overtaken(RuntimeError):
    """Somebody else changed the same thing after it was shown; ``theirs`` is their event."""

    def __init__(self, theirs: Event) -> None:
        self.theirs = theirs
        who = theirs.by or "somebody"
        super().__init__(f"{who} was first, at {theirs.at[11:19]} UTC. Yours was not stored; check theirs, then decide")
