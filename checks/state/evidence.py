"""Evidence, dissents, private answers and attendance, from their events."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from checks.access.names import same, token
from checks.events.answering import dissent, dissent_closure, evidence, evidence_withdrawal, private_answer, reveal
from checks.events.plant import attendance, attendance_corrected
from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.state.revision_status import Cause, cause_of


@dataclass(frozen=True, slots=True)
class Evidence:
    """A piece of evidence. Strength 0 none, 1 statement, 2 procedure, 3 done once, 4 the whole interval, 5 on the plant."""

    number: int
    kind: str
    identifier: str
    revision: str
    dated: str
    shows: str
    strength: int
    valid_until: str
    until_event: str
    by: str

    def expired(self, today: date) -> bool:
        """Whether its date has passed. Evidence valid until an event is withdrawn by hand after the event."""
        return bool(self.valid_until) and self.valid_until < today.isoformat()


@dataclass(frozen=True, slots=True)
class Dissent:
    """A different answer by one member against the adopted one, and the evidence that would settle it.

    ``last`` is the number of its latest event, ``closed`` the evidence that settled it.
    """

    value: str
    who: str
    role: str
    reason: str
    settles: str
    cause: Cause
    last: int
    closed: str = ""


@dataclass(frozen=True, slots=True)
class Present:
    """A person who attended a session of a system."""

    name: str
    role: str
    on: str


@dataclass(frozen=True, slots=True)
class Private:
    """A member's answer before the meeting, hidden from others until it is revealed.

    ``revealed`` is the number of the event that revealed it, 0 before; ``last`` is the number of the answer event.
    ``whose`` is the ``names.token`` of the author.
    """

    whose: str
    who: str
    value: str
    note: str
    revealed: int
    last: int


EVIDENCE = ("kind", "identifier", "revision", "dated", "shows", "strength", "valid_until", "until_event")
DISSENT = ("value", "who", "role", "reason", "settles")
"""Fields that the records take from the events."""


class BesideAnswers:
    """Collects what is recorded beside answers."""

    def __init__(self) -> None:
        self._evidence: dict[Asked, tuple[Evidence, ...]] = {}
        self._withdrawn: dict[Asked, tuple[tuple[int, Evidence], ...]] = {}
        self._dissents: dict[Asked, tuple[Dissent, ...]] = {}
        self._private: dict[Asked, tuple[Private, ...]] = {}
        self._attended: dict[str, tuple[Present, ...]] = {}
        self.handlers: Mapping[str, Callable[[Event, Any], None]] = {
            evidence.Body.KIND: self._add_evidence,
            evidence_withdrawal.Body.KIND: self._withdraw_evidence,
            dissent.Body.KIND: self._open_dissent,
            dissent_closure.Body.KIND: self._close_dissent,
            private_answer.Body.KIND: self._answer_privately,
            reveal.Body.KIND: self._reveal,
            attendance.Body.KIND: self._attend,
            attendance_corrected.Body.KIND: self._correct_attendance,
        }

    def fields(self) -> dict[str, Any]:
        """The collected fields of the records."""
        return {
            "evidence": dict(self._evidence),
            "withdrawn": dict(self._withdrawn),
            "dissents": dict(self._dissents),
            "private": dict(self._private),
            "attended": dict(self._attended),
        }

    def _add_evidence(self, event: Event, body: evidence.Body) -> None:
        piece = Evidence(number=event.seq, by=event.by, **{name: getattr(body, name) for name in EVIDENCE})
        self._evidence[body.asked] = (*self._evidence.get(body.asked, ()), piece)

    def _withdraw_evidence(self, event: Event, body: evidence_withdrawal.Body) -> None:
        pieces = self._evidence[body.asked]
        withdrawn = tuple((event.seq, piece) for piece in pieces if piece.number == body.evidence)
        self._withdrawn[body.asked] = (*self._withdrawn.get(body.asked, ()), *withdrawn)
        self._evidence[body.asked] = tuple(piece for piece in pieces if piece.number != body.evidence)

    def _open_dissent(self, event: Event, body: dissent.Body) -> None:
        fields = {name: getattr(body, name) for name in DISSENT}
        opened = Dissent(cause=cause_of(event, "dissent"), last=event.seq, **fields)
        kept = (other for other in self._dissents.get(body.asked, ()) if other.closed or not same(other.who, body.who))
        self._dissents[body.asked] = (*kept, opened)

    def _close_dissent(self, event: Event, body: dissent_closure.Body) -> None:
        self._dissents[body.asked] = tuple(
            replace(dissent, closed=body.evidence, last=event.seq)
            if same(dissent.who, body.who) and not dissent.closed
            else dissent
            for dissent in self._dissents[body.asked]
        )

    def _answer_privately(self, event: Event, body: private_answer.Body) -> None:
        whose = token(body.who, event.identity)
        private = Private(whose, body.who, body.value, body.note, revealed=0, last=event.seq)
        kept = (other for other in self._private.get(body.asked, ()) if other.whose != whose)
        self._private[body.asked] = (*kept, private)

    def _reveal(self, event: Event, body: reveal.Body) -> None:
        for answer in body.answers:
            privates = self._private.get(answer.asked, ())
            self._private[answer.asked] = tuple(
                replace(private, revealed=private.revealed or event.seq) for private in privates
            )

    def _attend(self, _event: Event, body: attendance.Body) -> None:
        present = (Present(attendee.name, attendee.role, body.on) for attendee in body.people)
        self._attended[body.system] = (*self._attended.get(body.system, ()), *present)

    def _correct_attendance(self, _event: Event, body: attendance_corrected.Body) -> None:
        self._attended[body.system] = tuple(
            entry
            for entry in self._attended.get(body.system, ())
            if not (entry.on == body.on and same(entry.name, body.name))
        )
