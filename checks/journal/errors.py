"""What can go wrong with the store, each as a sentence for the person at the screen."""

from __future__ import annotations


class StoreUnavailable(RuntimeError):
    """The database cannot be read or written. Nothing that was stored is lost."""

    def __init__(self, what: str, do: str) -> None:
        super().__init__(f"{what}. Nothing stored was lost; {do}.")


class NoSuchPlant(LookupError):
    """A plant that is not in the store."""

    def __init__(self, which: int | str) -> None:
        named = f"plant {which}" if isinstance(which, int) else which
        super().__init__(f"{named} is not in the store; choose one from the list")
