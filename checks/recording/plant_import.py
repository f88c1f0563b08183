"""Import of a plant file: its data, and those of its answers that say something new."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime

from checks.access.roles import Person
from checks.journal.store import Store
from checks.plantfile.plant import Answer, Plant
from checks.state.live import Live, State
from checks.state.voiding import TOLD


def import_plant(store: Store, person: Person, plant: Plant, *, at: str = "") -> int:
    """Store the data of a plant and what its answers say anew; returns its number. Raises NotAllowed.

    To import an answer whose value, evidence or note are not what counts now is to answer. Another author or day alone is
    taken from those only who may answer: they gave it again. ``at`` is the moment, UTC; without it the present one.
    """
    person.must_everywhere("import plant data")
    moment = datetime.fromisoformat(at) if at else datetime.now(UTC)
    for key, name in store.plants().items():
        if name == plant.plant.name:
            now = Live(store, key, clock=lambda: moment).state()
            plant = plant.model_copy(update={"answers": _anew(now, person, plant.answers)})
    return store.import_plant(plant, by=person.name, writer=person.writer, identity=person.identity, at=at)


def _anew(now: State, person: Person, answers: Iterable[Answer]) -> list[Answer]:
    """Answers of a file that are to be stored; raises NotAllowed where one says more and the person may not answer."""
    holds = now.assessment.answers.get
    found = [(one, held) for one in answers if one != (held := holds(one.question, one.of))]
    if person.may_everywhere("answer a question"):
        return [one for one, _ in found]
    if any(held is None or any(getattr(held, name) != getattr(one, name) for name in TOLD) for one, held in found):
        person.must_everywhere("answer a question")
    return []
