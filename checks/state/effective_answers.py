"""The effective answer after open dissents and expired evidence (house rules).

While a dissent is open the less favourable of the two answers counts. An answer whose recorded evidence has all expired or
was withdrawn since it was given is a claim: it counts without evidence until it is answered again. Evidence that had
expired before the answer was given does not matter; the answer keeps the evidence text given with it. An answer without
such a text takes its recorded valid evidence. Evidence of strength 0 shows nothing and is ignored.
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
    """The answer that an event may change; None where it changes none."""
    kind = KINDS.get(event.kind)
    if kind is None or not issubclass(kind, AnswerEvent) or not kind.CHANGES_ANSWER:
        return None
    return kind.read(event).asked


def all_of(answers: Iterable[StoredAnswer], records: Records, day: date) -> Iterator[Answer]:
    """Each effective answer on a day."""
    return (_effective(stored, records, day) for stored in answers)


def ended(stored: StoredAnswer, records: Records, day: date) -> bool:
    """Whether an answer has recorded evidence, all of which expired or was withdrawn after the answer was given."""
    if stored.asked not in records.evidence or _valid(stored.asked, records, day):
        return False
    taken = [piece for number, piece in records.withdrawn.get(stored.asked, ()) if number > stored.given]
    return any(piece.strength and not piece.expired(stored.day) for piece in (*records.evidence[stored.asked], *taken))


def _valid(asked: Asked, records: Records, day: date) -> list[Evidence]:
    return [piece for piece in records.evidence.get(asked, ()) if piece.strength and not piece.expired(day)]


def _effective(stored: StoredAnswer, records: Records, day: date) -> Answer:
    answer, asked = stored.answer, stored.asked
    if ended(stored, records, day):
        answer = answer.model_copy(update={"evidence": ""})
    elif not answer.evidence.strip() and (valid := _valid(asked, records, day)):
        named = "; ".join(f"{piece.identifier} {piece.revision}".strip() for piece in valid)
        answer = answer.model_copy(update={"evidence": named[:2000]})
    against = [dissent for dissent in records.dissents.get(asked, ()) if not dissent.closed]
    worst = min(against, key=lambda dissent: FAVOUR[dissent.value], default=None)
    if worst is not None and FAVOUR[worst.value] < FAVOUR[answer.value]:
        note = f"Adopted {answer.value}; {worst.role or 'a member'} holds {worst.value}: {worst.reason}"
        answer = answer.model_copy(update={"value": worst.value, "note": note[:2000]})
    return answer
