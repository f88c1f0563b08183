"""How a deed of a person becomes an event."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime
from typing import Any

from checks.faults import Fault
from checks.live import Live, State
from checks.plant import Answer, Plant
from checks.record.fold import TOLD
from checks.record.journal import Event
from checks.record.people import Person
from checks.store.append import Entry
from checks.store.store import Store


def record(
    live: Live, person: Person, kind: str, told: Mapping[str, Any], *, slot: str | None = None, follows: int = 0
) -> Event:
    """Append what a person did; raises Overtaken when somebody else changed the same slot since."""
    return live.store.record(live.key, entry(live, person, kind, told, slot=slot, follows=follows))[0]


def entry(
    live: Live, person: Person, kind: str, told: Mapping[str, Any], *, slot: str | None = None, follows: int = 0
) -> Entry:
    """What a person does now, to be appended."""
    at = live.clock().isoformat(timespec="milliseconds")
    return Entry(kind, told, person.name, slot, follows, person.writer, person.identity, at)


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


def day_faults(place: str, text: str) -> list[Fault]:
    """What is wrong with a date that somebody typed. Only one way to write it is taken, since dates are compared as text."""
    try:
        wrong = date.fromisoformat(text).isoformat() != text
    except ValueError:
        wrong = True
    return [Fault(place, f"found {text!r}", "write a date as 2025-03-04")] if wrong else []


def missing(place: str, text: str, allowed: str) -> list[Fault]:
    """A fault where a text is empty."""
    return [] if text.strip() else [Fault(place, "missing", allowed)]


def too_long(place: str, text: str, most: int = 2000) -> list[Fault]:
    """A fault where a text is longer than the store keeps."""
    return [Fault(place, f"{len(text)} letters", f"at most {most}")] if len(text) > most else []
