"""Evidence, dissents, private answers and attendance, from their events."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from checks.access.names import same, token
from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.state.entries import Cause, cause_of


@dataclass(frozen=True, slots=True)
class Evidence:
    """Something that was seen. Strength 0 none, 1 statement, 2 procedure, 3 done once, 4 the whole interval, 5 on the plant."""

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
        """Whether its date has passed. One that holds until an event is withdrawn when the event comes."""
        return bool(self.valid_until) and self.valid_until < today.isoformat()


@dataclass(frozen=True, slots=True)
class Dissent:
    """An answer that a member held against the adopted one, and what evidence would settle it.

    ``last`` is the number of the latest event about it, ``closed`` the evidence that settled it.
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
    """Somebody who attended a session of a system."""

    name: str
    role: str
    on: str


@dataclass(frozen=True, slots=True)
class Private:
    """What a member answered before the meeting; nobody else sees it before it is revealed.

    ``revealed`` is the number of the event that showed it to everybody, 0 before that; ``last`` that of the answer.
    ``whose`` tells who gave it, as ``names.token`` does.
    """

    whose: str
    who: str
    value: str
    note: str
    revealed: int
    last: int


EVIDENCE = ("kind", "identifier", "revision", "dated", "shows", "strength", "valid_until", "until_event")
DISSENT = ("value", "who", "role", "reason", "settles")


class Beside:
    """Keeps what was recorded beside answers."""

    def __init__(self) -> None:
        self._evidence: dict[Asked, tuple[Evidence, ...]] = {}
        self._taken: dict[Asked, tuple[tuple[int, Evidence], ...]] = {}
        self._dissents: dict[Asked, tuple[Dissent, ...]] = {}
        self._private: dict[Asked, tuple[Private, ...]] = {}
        self._attended: dict[str, tuple[Present, ...]] = {}
        self.take: Mapping[str, Callable[[Event, Mapping[str, Any]], None]] = {
            "evidence": self._seen,
            "evidence-withdrawn": self._withdrawn,
            "dissent": self._dissent,
            "dissent-closed": self._dissent_closed,
            "private": self._privately,
            "revealed": self._revealed,
            "attendance": self._attendance,
        }

    def held(self) -> dict[str, Any]:
        """What holds, as fields of the records."""
        return {
            "evidence": dict(self._evidence),
            "withdrawn": dict(self._taken),
            "dissents": dict(self._dissents),
            "private": dict(self._private),
            "attended": dict(self._attended),
        }

    def _seen(self, event: Event, body: Mapping[str, Any]) -> None:
        asked = body["question"], body["of"]
        one = Evidence(number=event.seq, by=event.by, **{name: body[name] for name in EVIDENCE})
        self._evidence[asked] = (*self._evidence.get(asked, ()), one)

    def _withdrawn(self, event: Event, body: Mapping[str, Any]) -> None:
        asked, number = (body["question"], body["of"]), body["evidence"]
        taken = tuple((event.seq, one) for one in self._evidence[asked] if one.number == number)
        self._taken[asked] = (*self._taken.get(asked, ()), *taken)
        self._evidence[asked] = tuple(one for one in self._evidence[asked] if one.number != number)

    def _dissent(self, event: Event, body: Mapping[str, Any]) -> None:
        asked = body["question"], body["of"]
        one = Dissent(cause=cause_of(event, "dissent"), last=event.seq, **{name: body[name] for name in DISSENT})
        kept = (held for held in self._dissents.get(asked, ()) if held.closed or not same(held.who, one.who))
        self._dissents[asked] = (*kept, one)

    def _dissent_closed(self, event: Event, body: Mapping[str, Any]) -> None:
        asked = body["question"], body["of"]
        self._dissents[asked] = tuple(
            replace(one, closed=body["evidence"], last=event.seq)
            if same(one.who, body["who"]) and not one.closed
            else one
            for one in self._dissents[asked]
        )

    def _privately(self, event: Event, body: Mapping[str, Any]) -> None:
        asked = body["question"], body["of"]
        whose = token(body["who"], event.identity)
        one = Private(whose, body["who"], body["value"], body["note"], revealed=0, last=event.seq)
        kept = (held for held in self._private.get(asked, ()) if held.whose != whose)
        self._private[asked] = (*kept, one)

    def _revealed(self, event: Event, body: Mapping[str, Any]) -> None:
        for told in body["answers"]:
            asked = told["question"], told["of"]
            given = self._private.get(asked, ())
            self._private[asked] = tuple(replace(one, revealed=one.revealed or event.seq) for one in given)

    def _attendance(self, _event: Event, body: Mapping[str, Any]) -> None:
        came = (Present(one["name"], one["role"], body["on"]) for one in body["people"])
        self._attended[body["system"]] = (*self._attended.get(body["system"], ()), *came)
