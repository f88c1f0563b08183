"""Errors of the store, each with a sentence for the person at the screen."""

from __future__ import annotations


class StoreUnavailable(RuntimeError):
    """The database cannot be read or written. Stored events are not lost."""

    def __init__(self, what: str, do: str) -> None:
        super().__init__(f"{what}. Nothing stored was lost; {do}.")


class NoSuchPlant(LookupError):
    """A plant that is not in the store."""

    def __init__(self, plant: int | str) -> None:
        named = f"plant {plant}" if isinstance(plant, int) else plant
        super().__init__(f"{named} is not in the store; choose one from the list")
