"""Revisions and signatures as the journal holds them, and the event behind each entry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from checks.journal.event import Event
from checks.plantfile.plant import Asked

HALVES = ("safety", "security")
ANSWERING, REVIEWED, SENT_BACK, SIGNED, FOLLOWED, VOID = (
    "in progress",
    "under review",
    "sent back",
    "signed",
    "superseded",
    "invalidated",
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
