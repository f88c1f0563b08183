"""Import of a plant file: its data, and those of its answers that say something new."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime

from checks.access.roles import Person
from checks.events.answering import answer
from checks.events.answering.answer import StoredAnswer, same_answer, slot, stored
from checks.events.plant import plant_data
from checks.journal.append import Entry
from checks.journal.event import Event
from checks.journal.store import Store
from checks.plantfile import plant_file
from checks.plantfile.plant import Answer, Asked, Plant
from checks.recording import recorder
from checks.state.live import Live, State


def import_plant(store: Store, person: Person, plant: Plant, *, at: str = "") -> int:
    """Store the data of a plant and those of its answers that say something new; returns its number. Raises NotAllowed.

    A plant of the same name gets new data; its answers stay, and later ones are appended on top. All or nothing. To
    import an answer whose value, evidence or note are not what counts now is to answer. Another author or day alone is
    stored only for those who may answer: they gave it again. ``at`` is the moment, UTC; without it the present one.
    """
    person.must_everywhere(plant_data.Body.PERMISSION)
    moment = datetime.fromisoformat(at) if at else datetime.now(UTC)
    for key, name in store.plants().items():
        if name == plant.plant.name:
            state = Live(store, key, clock=lambda: moment).state()
            plant = plant.model_copy(update={"answers": _to_store(state, person, plant.answers)})
    return store_plant(store, person, plant, at=at)


def store_plant(store: Store, person: Person, plant: Plant, *, at: str = "") -> int:
    """Store a plant and its answers for somebody who may; answers that are stored already are left out."""
    return store.record_by_name(plant.plant.name, lambda events: _entries(plant, person, at, events))


def _to_store(state: State, person: Person, answers: Iterable[Answer]) -> list[Answer]:
    """Answers of a file that are to be stored; raises NotAllowed where one says more and the person may not answer."""
    found = [(given, state.assessment.answers.get(given.question, given.of)) for given in answers]
    differing = [(given, holds) for given, holds in found if given != holds]
    if person.may_everywhere(answer.Body.PERMISSION):
        return [given for given, _ in differing]
    if any(holds is None or not same_answer(holds, given) for given, holds in differing):
        person.must_everywhere(answer.Body.PERMISSION)
    return []


def _entries(plant: Plant, person: Person, at: str, events: list[Event]) -> list[Entry]:
    """The plant data and the answers that differ from what is stored, each after the event of its slot."""
    data_before, stored_before = 0, dict[Asked, StoredAnswer]()
    for event in events:
        if event.kind == plant_data.Body.KIND:
            data_before = event.seq
        elif event.kind == answer.Body.KIND:
            held = stored(event)
            stored_before[held.asked] = held
    text = plant_file.to_text(plant.model_copy(update={"answers": []}))
    kind = plant_data.Body.KIND
    entries = [recorder.entry_at(at, person, plant_data.Body(text=text), slot=kind, follows=data_before)]
    for given in plant.answers:
        before = stored_before.get((given.question, given.of))
        if before is None or before.answer != given:
            body = answer.Body(**given.model_dump())
            seen = before.id if before else 0
            entries.append(recorder.entry_at(at, person, body, slot=slot(given.question, given.of), follows=seen))
    return entries
