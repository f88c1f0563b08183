"""The plants of a database: list, begin, rename, archive and bring back. Nothing is ever deleted."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from checks.access.roles import Person
from checks.events.plant import archive, plant_data
from checks.journal.append import Entry
from checks.journal.errors import NoSuchPlant
from checks.journal.event import Event
from checks.journal.store import Listed, Store
from checks.plantfile import plant_file
from checks.recording import recorder
from checks.state.live import Live
from checks.text.faults import Fault, Refused

DEMO = "demo"
"""Writer of the first event of the invented demo plant."""
LETTERS = 8
"""Letters of the name of the journal in the address of a plant."""


@dataclass(frozen=True, slots=True)
class ListedPlant:
    """A plant in the list of plants; ``at`` is the time of its latest event, UTC."""

    key: int
    name: str
    address: str
    demo: bool
    archived: bool
    at: str


def listed(store: Store) -> list[ListedPlant]:
    """The plants in the store, oldest first."""
    return [
        ListedPlant(row.key, row.name, _address(row), row.founder == DEMO, _archived(row.latest), row.at)
        for row in store.listed(archive.Body.KIND)
    ]


def address_of(store: Store, key: int) -> str:
    """The address of a plant by its number; raises NoSuchPlant."""
    for plant in listed(store):
        if plant.key == key:
            return plant.address
    raise NoSuchPlant(key)


def _address(row: Listed) -> str:
    """The plant as an address names it: its number, which another database has too, and the start of its journal's name."""
    return f"{row.key}-{row.journal[:LETTERS]}"


def _archived(latest: str) -> bool:
    return bool(latest) and bool(json.loads(latest)["archived"])


def landing(plants: Sequence[ListedPlant]) -> ListedPlant | None:
    """The plant for somebody who named none: the own one with the latest event, else the demo; None if all are archived."""
    present = [plant for plant in plants if not plant.archived]
    return max(present, key=lambda plant: (not plant.demo, plant.at), default=None)


def begin(store: Store, person: Person, name: str) -> int:
    """Begin an empty plant; returns its number. Raises NotAllowed, NoName, and Refused for an unusable or taken name."""
    person.require_everywhere(plant_data.Body.PERMISSION)
    person.require_name()
    plant = plant_file.empty(name.strip())
    body = plant_data.Body.of(plant)

    def entries(events: list[Event]) -> list[Entry]:
        if events:
            raise Refused(
                "plant", [Fault("name", f"{plant.plant.name!r} is the name of another plant", "choose another")]
            )
        return [recorder.entry_at("", person, body, slot=body.KIND)]

    return store.record_by_name(plant.plant.name, (body.KIND,), entries)


def rename(live: Live, person: Person, name: str) -> Event:
    """Give a plant another name; its sign-offs stay valid. Raises NotAllowed, NoName, Refused and Overtaken."""
    person.require_everywhere(plant_data.Body.PERMISSION)
    state = live.state()
    about = state.plant.plant.model_copy(update={"name": plant_file.empty(name.strip()).plant.name})
    body = plant_data.Body.of(state.plant.model_copy(update={"plant": about}))
    entry = recorder.entry(live, person, body, slot=body.KIND, follows=state.version.data)
    return live.store.rename(live.key, about.name, entry)


def archive_plant(live: Live, person: Person) -> Event:
    """Put a plant away, out of the list; its address still opens it. Raises NotAllowed, NoName and Overtaken."""
    return _set_archived(live, person, archived=True)


def bring_back(live: Live, person: Person) -> Event:
    """Bring an archived plant back into the list. Raises NotAllowed, NoName and Overtaken."""
    return _set_archived(live, person, archived=False)


def _set_archived(live: Live, person: Person, *, archived: bool) -> Event:
    person.require_everywhere(archive.Body.PERMISSION)
    body = archive.Body(archived=archived)
    earlier = live.store.events(live.key, kinds=(body.KIND,))
    follows = earlier[-1].seq if earlier else 0
    return recorder.record(live, person, body, slot=body.KIND, follows=follows)


def was_once(live: Live, block: str, key: str) -> bool:
    """Whether earlier data of a plant had this entry in a block such as ``groups``."""
    events = live.store.events(live.key, kinds=(plant_data.Body.KIND,))
    return any(key in getattr(plant_data.plant_of(event), block) for event in reversed(events[:-1]))
