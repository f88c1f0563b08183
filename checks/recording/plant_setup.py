"""Saving plant data from the screens: one event for each save, and the state before brought back as a new event."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from checks.access.roles import Person
from checks.events.plant import plant_data
from checks.events.plant.plant_data import plant_of
from checks.journal.errors import Overtaken
from checks.journal.event import Event
from checks.plant_tables import list_import
from checks.plant_tables.list_import import Choices
from checks.plantfile.plant import Plant
from checks.recording import recorder
from checks.state.live import Live
from checks.text.faults import Refused

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


def save(live: Live, person: Person, plant: Plant, *, seen: int, columns: Mapping[str, Any] | None = None) -> Event:
    """Store plant data as one event; ``seen`` is the number of the plant-data event that was on screen.

    Answers of ``plant`` are left out. ``columns`` is what was chosen for the list that the data come from
    (``Choices.plain``). Raises NotAllowed, NoName, DataChangedMeanwhile or StoreUnavailable, and Refused for the name of
    another plant.
    """
    person.require_everywhere(plant_data.Body.PERMISSION)
    entry = recorder.entry(live, person, plant_data.Body.of(plant, columns), slot=KIND, follows=seen)
    try:
        if plant.plant.name != live.store.plants()[live.key]:
            return live.store.rename(live.key, plant.plant.name, entry)
        return live.store.record(live.key, entry)[0]
    except Overtaken as error:
        raise DataChangedMeanwhile(error.theirs) from error


def choices_of_list(live: Live) -> Choices:
    """What was chosen for the last list that was brought into the plant; nothing where this program does not know it."""
    for event in reversed(live.store.events(live.key, kinds=(KIND,))):
        columns = plant_data.Body.read(event).columns
        if columns is not None:
            try:
                return list_import.choices_of(columns, f"event {event.seq}")
            except Refused:  # a column that a later release added
                return Choices()
    return Choices()


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
