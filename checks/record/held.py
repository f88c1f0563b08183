"""Single things that the journal holds of reviews: revisions, signatures, keys, evidence, dissents, failures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from checks.answers import FAVOUR
from checks.record.journal import Event

Asked = tuple[str, str]
"""A question and the addressee of whom it is answered."""

HALVES = ("safety", "security")
ANSWERING, REVIEWED, SENT_BACK, SIGNED, FOLLOWED, VOID = (
    "being answered",
    "with the reviewers",
    "sent back",
    "signed",
    "followed by a later one",
    "void",
)


@dataclass(frozen=True, slots=True)
class Cause:
    """An event that had a consequence: its number, when, who, and what it was in words."""

    seq: int
    at: str
    by: str
    what: str

    @property
    def day(self) -> str:
        """The date, UTC."""
        return self.at[:10]


def cause_of(event: Event, what: str) -> Cause:
    """An event as a cause, in words."""
    return Cause(event.seq, event.at, event.by, what)


@dataclass(frozen=True, slots=True)
class Key:
    """A signer's public key as the owner enrolled it; from ``withdrawn`` (a date) on, what it signs does not count.

    ``last`` is the number of the latest event about it, ``told`` the moment at which it was said to be withdrawn.
    """

    id: str
    public: str
    name: str
    roles: tuple[str, ...]
    cause: Cause
    last: int
    withdrawn: str = ""
    why: str = ""
    told: str = ""

    def counts(self, at: str, *, seq: int) -> bool:
        """Whether a signature of this moment counts, which is event ``seq``: no clock makes it older than what came before."""
        moment = max(at, self.told) if seq > self.last else at
        return not self.withdrawn or moment[:10] < self.withdrawn


@dataclass(frozen=True, slots=True)
class Signature:
    """One half of a sign-off: the statement, and the signature over it."""

    half: str
    key: str
    statement: Mapping[str, Any]
    signature: str
    cause: Cause

    @property
    def conditions(self) -> tuple[str, ...]:
        """Conditions under which it was given; none for an unconditional one."""
        return tuple(self.statement["conditions"])

    @property
    def open_actions(self) -> tuple[str, ...] | None:
        """Ids of the actions that were under way when it was given; None where it was given before these were listed."""
        listed = self.statement.get("open_actions")
        return None if listed is None else tuple(str(one["id"]) for one in listed)

    @property
    def until(self) -> str:
        """Date on which a conditional sign-off ends; empty for an unconditional one."""
        return str(self.statement["until"])

    @property
    def sample(self) -> tuple[Asked, ...] | None:
        """Scoring answers that were drawn for the signer to look at; None in a statement of before they were named."""
        told = self.statement.get("sample")
        return None if told is None else tuple((one["question"], one["of"]) for one in told)


@dataclass(frozen=True, slots=True)
class Revision:
    """A fixed state of one system's assessment: what it rests on and every result, under one hash."""

    system: str
    number: int
    hash: str
    banks: Mapping[str, Any]
    cause: Cause
    comments: tuple[tuple[str, Cause], ...] = ()
    signatures: Mapping[str, Signature] = field(default_factory=dict)
    voided: Cause | None = None
    followed: bool = False


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
class Accepted:
    """A residual gap that the owner accepted: why, and until when. ``value`` is the answer that it was accepted with."""

    zone: str
    question: str
    reason: str
    until: str
    cause: Cause
    value: str = ""

    def holds(self, today: date) -> bool:
        """Whether the acceptance has not ended."""
        return today.isoformat() <= self.until

    def covers(self, value: str, today: date) -> bool:
        """Whether it speaks for a gap that is answered so: it has not ended, and the answer is no worse than it was."""
        return self.holds(today) and (not self.value or FAVOUR[value] >= FAVOUR[self.value])


@dataclass(frozen=True, slots=True)
class Present:
    """Somebody who attended a session of a system."""

    name: str
    role: str
    on: str


@dataclass(frozen=True, slots=True)
class Change:
    """A recorded change, failure or advisory: its kind, reference and day, and the systems whose answers it reopened."""

    kind: str
    reference: str
    on: str
    what: str
    systems: tuple[str, ...]
    reopened: tuple[Asked, ...]
    data: tuple[str, ...]
    cause: Cause


@dataclass(frozen=True, slots=True)
class Failed:
    """A failure as it is known by now: fields of its record, the event that recorded it, the latest that completed it."""

    body: Mapping[str, Any]
    cause: Cause
    last: int = 0


@dataclass(frozen=True, slots=True)
class Private:
    """What a member answered before the meeting; nobody else sees it before it is revealed.

    ``revealed`` is the number of the event that showed it to everybody, 0 before that; ``last`` that of the answer.
    ``whose`` tells who gave it, as ``people.token`` does.
    """

    whose: str
    who: str
    value: str
    note: str
    revealed: int
    last: int
