"""The data of the plant: its plant file without the answers."""

from __future__ import annotations

from collections.abc import Container, Mapping
from functools import lru_cache
from typing import Any, Self

from checks.journal.event import Event
from checks.journal.event_body import EventBody
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant

INVALIDATES = "its plant data changed"
"""Why a revision is invalid after the plant data of its system changed (``state.replay`` compares them)."""


class Body(EventBody):
    """``text`` is the plant file. It holds all systems, so no record file shows it; a revision carries its own plant data.

    ``columns`` is given where a list was brought in: its sheets, columns and decimal sign, for the next list of the plant.
    """

    KIND = "plant-data"
    PERMISSION = "import plant data"
    TAKES_PART = True
    DID = "entered or imported plant data"
    SEALED = True
    CARRIES = ("text", "columns")

    text: str
    columns: dict[str, Any] | None = None

    @classmethod
    def of(cls, plant: Plant, columns: Mapping[str, Any] | None = None) -> Self:
        """The body with the data of a plant, whose answers are left out; ``columns`` only where they are given."""
        text = plant_file.to_text(plant.model_copy(update={"answers": []}))
        return cls(text=text) if columns is None else cls(text=text, columns=dict(columns))

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Always true: it holds the data of all systems."""
        return True


def plant_of(event: Event) -> Plant:
    """The plant of a plant-data event; one that was asked for lately is not read again, as a replay asks twice for each."""
    return plant_in(event.seq, Body.read(event).text)


@lru_cache(maxsize=8)
def plant_in(seq: int, text: str) -> Plant:
    """The plant that event ``seq`` holds as a text; nobody can change it."""
    return plant_file.from_text(f"event {seq}", text)
