"""Answers as they speak: what was adopted, less what a dissent or expired evidence takes away (house rules).

An unresolved dissent adopts the less favourable of the two answers. An answer whose recorded evidence has all expired
or was withdrawn is a claim: it stands without evidence until somebody looks again. Where nothing else was written as
evidence, what is on record and holds speaks for the answer. A piece of strength 0 shows nothing and speaks for nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from checks.answers import FAVOUR
from checks.plant import Answer
from checks.record.fold import VOIDS
from checks.record.held import Asked, Records
from checks.record.journal import Event

BESIDE = ("answer", *VOIDS)
"""Kinds of events that can change how an answer speaks."""


def touched(event: Event) -> Asked | None:
    """The answer that an event can have changed."""
    if event.kind not in BESIDE:
        return None
    body = event.content
    return body["question"], body["of"]


def all_of(answers: Iterable[Answer], records: Records, day: date) -> Iterator[Answer]:
    """Each answer as it speaks on a day."""
    return (_speaking(one, records, day) for one in answers)


def _speaking(answer: Answer, records: Records, day: date) -> Answer:
    asked = (answer.question, answer.of)
    held = records.evidence.get(asked)
    if held is not None and (not held or any(one.strength for one in held)):
        holding = [one for one in held if one.strength and not one.expired(day)]
        named = "; ".join(f"{one.identifier} {one.revision}".strip() for one in holding)
        answer = answer.model_copy(update={"evidence": (answer.evidence.strip() or named)[:2000] if holding else ""})
    against = [one for one in records.dissents.get(asked, ()) if not one.closed]
    worst = min(against, key=lambda one: FAVOUR[one.value], default=None)
    if worst is not None and FAVOUR[worst.value] < FAVOUR[answer.value]:
        note = f"Adopted {answer.value}; {worst.role or 'a member'} holds {worst.value}: {worst.reason}"
        answer = answer.model_copy(update={"value": worst.value, "note": note[:2000]})
    return answer
