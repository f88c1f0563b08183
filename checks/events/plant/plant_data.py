"""The data of the plant: its plant file without the answers."""

from __future__ import annotations

from collections.abc import Container

from checks.journal.event import Event
from checks.journal.event_body import EventBody
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant

INVALIDATES = "its plant data changed"
"""Why a revision is invalid whose system has other plant data than before (``state.replay`` compares them)."""


class Body(EventBody):
    """``text`` is the plant file. It holds every system, so no record of one shows it; a revision carries what it rests on."""

    KIND = "plant-data"
    PERMISSION = "import plant data"
    SEALED = True

    text: str

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """It holds the data of every system."""
        return True


def plant_of(event: Event) -> Plant:
    """The plant of an event that holds plant data."""
    return plant_file.from_text(f"event {event.seq}", Body.read(event).text)
