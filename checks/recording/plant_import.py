"""Import of a plant file: its data and its changed answers."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime

from checks.access.roles import Person
from checks.events.answering import answer, answer_taken_back
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
    """Store the data of a plant and its changed answers, all or nothing; returns the plant's number.

    Raises NotAllowed and NoName.

    A plant of the same name gets new data; its answers stay, and changed ones are appended. Importing an answer with
    another value, evidence or note needs the permission to answer. Another author or date alone is stored only for
    those who may answer: they gave the answer again. ``at`` is the time, UTC; the present one if empty.
    """
    person.require_everywhere(plant_data.Body.PERMISSION)
    person.require_name()
    moment = datetime.fromisoformat(at) if at else datetime.now(UTC)
    for key, name in store.plants().items():
        if name == plant.plant.name:
            state = Live(store, key, clock=lambda: moment).state()
            plant = plant.model_copy(update={"answers": _answers_to_store(state, person, plant.answers)})
    return store_plant(store, person, plant, at=at)


def store_plant(store: Store, person: Person, plant: Plant, *, at: str = "") -> int:
    """Store a plant and its answers without checking permissions; answers stored already are left out."""
    kinds = (plant_data.Body.KIND, answer.Body.KIND, answer_taken_back.Body.KIND)
    return store.record_by_name(plant.plant.name, kinds, lambda events: _entries(plant, person, at, events))


def _answers_to_store(state: State, person: Person, answers: Iterable[Answer]) -> list[Answer]:
    """Answers of a file to store; raises NotAllowed if one differs in content and the person may not answer."""
    pairs = [(imported, state.assessment.answers.get(imported.question, imported.of)) for imported in answers]
    differing = [(imported, current) for imported, current in pairs if imported != current]
    if person.may_everywhere(answer.Body.PERMISSION):
        return [imported for imported, _ in differing]
    if any(current is None or not same_answer(current, imported) for imported, current in differing):
        person.require_everywhere(answer.Body.PERMISSION)
    return []


def _entries(plant: Plant, person: Person, at: str, events: list[Event]) -> list[Entry]:
    """The plant data and the answers that differ from the stored ones, each following the event of its slot."""
    data_before, stored_before, last = 0, dict[Asked, StoredAnswer | None](), dict[Asked, int]()
    for event in events:
        if event.kind == plant_data.Body.KIND:
            data_before = event.seq
        else:
            asked = event.content["question"], event.content["of"]
            stored_before[asked] = stored(event) if event.kind == answer.Body.KIND else answer_taken_back.stored(event)
            last[asked] = event.seq
    text = plant_file.to_text(plant.model_copy(update={"answers": []}))
    kind = plant_data.Body.KIND
    entries = [recorder.entry_at(at, person, plant_data.Body(text=text), slot=kind, follows=data_before)]
    for imported in plant.answers:
        before = stored_before.get((imported.question, imported.of))
        if before is None or before.answer != imported:
            body = answer.Body(**imported.model_dump())
            place, follows = (imported.question, imported.of), last.get((imported.question, imported.of), 0)
            entries.append(recorder.entry_at(at, person, body, slot=slot(*place), follows=follows))
    return entries
