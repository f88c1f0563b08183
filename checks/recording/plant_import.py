"""Import of a plant file: its data and its changed answers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime

from checks.access import name_entry
from checks.access.roles import Person
from checks.events.answering import answer, answer_taken_back
from checks.events.answering.answer import StoredAnswer, slot, stored
from checks.events.plant import plant_data
from checks.journal.append import Entry
from checks.journal.event import Event
from checks.journal.store import Store
from checks.plantfile.plant import Answer, Asked, Plant
from checks.recording import file_answers, recorder
from checks.recording.plant_setup import DataChangedMeanwhile
from checks.state.live import Live, State
from checks.text.faults import Refused


def import_plant(
    store: Store,
    person: Person,
    plant: Plant,
    *,
    at: str = "",
    ticked: Mapping[Asked, int] | None = None,
    seen: int | None = None,
) -> int:
    """Store the data of a plant and the answers that its file takes, all or nothing; returns the plant's number.

    A plant of the same name gets new data, and new and newer answers. A stored answer that is not older than that of the
    file stays, unless it is ``ticked`` with the number of the one that was shown. An answer with another value, evidence
    or note, and every answer of a further plant, needs the permission to answer; one that was only given again is left out
    for others. ``at`` is the time, UTC, the present one if empty; ``seen`` the number of the plant data that were shown.
    Raises NotAllowed, NoName, Refused for names of authors that mislead, and DataChangedMeanwhile.
    """
    person.require_everywhere(plant_data.Body.PERMISSION)
    person.require_name()
    moment = datetime.fromisoformat(at) if at else datetime.now(UTC)
    shown: dict[Asked, int] | None = None
    for key, name in store.plants().items():
        if name == plant.plant.name:
            state = Live(store, key, clock=lambda: moment).state()
            answers = _answers_to_store(state, person, plant.answers, ticked or {})
            shown = file_answers.numbers(state, answers)
            plant = plant.model_copy(update={"answers": answers})
    if plant.answers and shown is None:  # a further plant
        person.require_everywhere(answer.Body.PERMISSION)
    return store_plant(store, person, plant, at=at, shown=shown, seen=seen)


def store_plant(
    store: Store,
    person: Person,
    plant: Plant,
    *,
    at: str = "",
    shown: Mapping[Asked, int] | None = None,
    seen: int | None = None,
) -> int:
    """Store a plant and its answers without checking permissions; answers stored already are left out.

    ``shown`` has the number of the stored answer that was compared with each: one that was given since stays. Raises
    DataChangedMeanwhile where the plant data are not those ``seen``.
    """
    kinds = (plant_data.Body.KIND, answer.Body.KIND, answer_taken_back.Body.KIND)

    def entries(events: list[Event]) -> list[Entry]:
        data = [event for event in events if event.kind == plant_data.Body.KIND]
        if seen is not None and data and data[-1].seq != seen:
            raise DataChangedMeanwhile(data[-1])
        return _entries(plant, person, at, events, shown)

    return store.record_by_name(plant.plant.name, kinds, entries)


def _answers_to_store(
    state: State, person: Person, answers: Iterable[Answer], ticked: Mapping[Asked, int]
) -> list[Answer]:
    """Answers of a file to store; raises NotAllowed if one changes something and the person may not answer."""
    found = file_answers.compared(state, answers)
    taken = list(found.taken(ticked))
    if taken:
        person.require_everywhere(answer.Body.PERMISSION)
    elif not person.may_everywhere(answer.Body.PERMISSION):
        return []
    return [*taken, *(each.answer for each in found.again)]


def _entries(
    plant: Plant, person: Person, at: str, events: list[Event], shown: Mapping[Asked, int] | None
) -> list[Entry]:
    """The plant data and the answers that differ from the stored ones, each following the event of its slot."""
    data_before, stored_before, last = 0, dict[Asked, StoredAnswer | None](), dict[Asked, int]()
    for event in events:
        if event.kind == plant_data.Body.KIND:
            data_before = event.seq
        else:
            asked = event.content["question"], event.content["of"]
            stored_before[asked] = stored(event) if event.kind == answer.Body.KIND else answer_taken_back.stored(event)
            last[asked] = event.seq
    body, given_answers = plant_data.Body.of(plant), list[answer.Body]()
    for imported in plant.answers:
        asked = imported.question, imported.of
        before = stored_before.get(asked)
        meanwhile = shown is not None and (before.id if before else 0) != shown.get(asked, 0)
        if not meanwhile and (before is None or before.answer != imported):
            given_answers.append(answer.Body(**imported.model_dump()))
    faults = name_entry.all_faults(named for given in given_answers for named in given.entered_names())
    if faults:
        raise Refused("answers", faults)  # of the whole file at once
    return [
        recorder.entry_at(at, person, body, slot=body.KIND, follows=data_before),
        *(
            recorder.entry_at(at, person, given, slot=slot(*given.asked), follows=last.get(given.asked, 0))
            for given in given_answers
        ),
    ]
