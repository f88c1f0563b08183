"""Answers as they speak: what was adopted, less what a dissent or expired evidence takes away (house rules).

An unresolved dissent adopts the less favourable of the two answers. An answer whose recorded evidence has all expired
or was withdrawn since it was given is a claim: it stands without evidence until it is given again. What had ended by
then says nothing of it, and it speaks with the evidence that is written with it. Where nothing else was written as
evidence, what is on record and holds speaks for the answer. A piece of strength 0 shows nothing and speaks for nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from checks.assessment.answers import FAVOUR
from checks.events.answering.answer import StoredAnswer
from checks.events.kinds import KINDS
from checks.journal.event import Event
from checks.journal.event_body import AnswerEvent
from checks.plantfile.plant import Answer, Asked
from checks.state.evidence import Evidence
from checks.state.records import Records


def touched(event: Event) -> Asked | None:
    """The answer that an event can have changed."""
    kind = KINDS.get(event.kind)
    if kind is None or not issubclass(kind, AnswerEvent) or not kind.CHANGES_ANSWER:
        return None
    return kind.read(event).asked


def all_of(answers: Iterable[StoredAnswer], records: Records, day: date) -> Iterator[Answer]:
    """Each answer as it speaks on a day."""
    return (_speaking(one, records, day) for one in answers)


def ended(given: StoredAnswer, records: Records, day: date) -> bool:
    """Whether evidence was recorded beside an answer and all of it has ended since the answer was given."""
    if given.asked not in records.evidence or _holding(given.asked, records, day):
        return False
    taken = [one for number, one in records.withdrawn.get(given.asked, ()) if number > given.id]
    return any(one.strength and not one.expired(given.day) for one in (*records.evidence[given.asked], *taken))


def _holding(asked: Asked, records: Records, day: date) -> list[Evidence]:
    return [one for one in records.evidence.get(asked, ()) if one.strength and not one.expired(day)]


def _speaking(given: StoredAnswer, records: Records, day: date) -> Answer:
    answer, asked = given.answer, given.asked
    if ended(given, records, day):
        answer = answer.model_copy(update={"evidence": ""})
    elif not answer.evidence.strip() and (holding := _holding(asked, records, day)):
        named = "; ".join(f"{one.identifier} {one.revision}".strip() for one in holding)
        answer = answer.model_copy(update={"evidence": named[:2000]})
    against = [one for one in records.dissents.get(asked, ()) if not one.closed]
    worst = min(against, key=lambda one: FAVOUR[one.value], default=None)
    if worst is not None and FAVOUR[worst.value] < FAVOUR[answer.value]:
        note = f"Adopted {answer.value}; {worst.role or 'a member'} holds {worst.value}: {worst.reason}"
        answer = answer.model_copy(update={"value": worst.value, "note": note[:2000]})
    return answer
