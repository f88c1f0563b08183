"""Saving plant data from the set-up screens: one event for each save, and the state before brought back as a new event."""

from __future__ import annotations

from dataclasses import dataclass

from checks.access.roles import Person
from checks.events.plant import plant_data
from checks.events.plant.plant_data import plant_of
from checks.journal.errors import Overtaken
from checks.journal.event import Event
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.recording import recorder
from checks.state.live import Live

KIND = plant_data.Body.KIND


class DataChangedMeanwhile(RuntimeError):
    """Somebody else changed the plant data after they were shown here."""

    def __init__(self, theirs: Event) -> None:
        who = theirs.by or "somebody"
        super().__init__(
            f"{who} changed the plant data at {theirs.at[11:19]} UTC, after you opened them. Yours were not stored: "
            "compare with theirs, then save again"
        )


class NothingToUndo(RuntimeError):
    """The plant has only one state of its data."""

    def __init__(self) -> None:
        super().__init__("This is the first state of the plant data: there is none before it")


@dataclass(frozen=True, slots=True)
class Saved:
    """One state of the plant data: number of its event, who, when (UTC)."""

    seq: int
    by: str
    at: str


def save(live: Live, person: Person, plant: Plant, *, seen: int) -> Event:
    """Store plant data as one event; ``seen`` is the number of the plant-data event that was on screen.

    Answers of ``plant`` are left out. Raises NotAllowed, DataChangedMeanwhile or StoreUnavailable.
    """
    person.require_everywhere(plant_data.Body.PERMISSION)
    text = plant_file.to_text(plant.model_copy(update={"answers": []}))
    try:
        return recorder.record(live, person, plant_data.Body(text=text), slot=KIND, follows=seen)
    except Overtaken as error:
        raise DataChangedMeanwhile(error.theirs) from error


def undo(live: Live, person: Person, *, seen: int) -> Event:
    """Bring back the plant data before the latest change, as a new event.

    Raises NothingToUndo, NotAllowed, DataChangedMeanwhile or StoreUnavailable.
    """
    return save(live, person, before(live, seen), seen=seen)


def before(live: Live, seen: int) -> Plant:
    """The plant data before a plant-data event; raises NothingToUndo."""
    earlier = [event for event in live.store.events(live.key, kinds=(KIND,)) if event.seq < seen]
    if not earlier:
        raise NothingToUndo
    return plant_of(earlier[-1])


def latest(live: Live, most: int) -> list[Saved]:
    """The latest states of the plant data, newest first."""
    events = live.store.events(live.key, kinds=(KIND,))[-most:]
    return [Saved(event.seq, event.by, event.at) for event in reversed(events)]
