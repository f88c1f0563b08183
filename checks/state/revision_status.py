"""Revisions and signatures in the journal, and the event behind each entry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
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
    "void",
)


@dataclass(frozen=True, slots=True)
class Cause:
    """An event with a consequence: its number, time (UTC), author, and what happened in words."""

    seq: int
    at: str
    by: str
    what: str

    @property
    def day(self) -> str:
        """The date, UTC."""
        return self.at[:10]


def cause_of(event: Event, what: str) -> Cause:
    """The cause for an event; ``what`` says in words what happened."""
    return Cause(event.seq, event.at, event.by, what)


@dataclass(frozen=True, slots=True)
class Signature:
    """One half of a sign-off: the statement and its signature."""

    half: str
    key: str
    statement: Mapping[str, Any]
    signature: str
    cause: Cause

    @property
    def conditions(self) -> tuple[str, ...]:
        """Conditions of the sign-off; none for an unconditional one."""
        return tuple(self.statement["conditions"])

    @property
    def open_actions(self) -> tuple[str, ...] | None:
        """Ids of the actions open at signing; None in statements of releases that did not list them."""
        listed = self.statement.get("open_actions")
        return None if listed is None else tuple(str(action["id"]) for action in listed)

    @property
    def condition_actions(self) -> tuple[str, ...]:
        """Ids of the actions on which the conditions rest; none in statements of releases that did not name them."""
        return tuple(self.statement.get("condition_actions", ()))

    @property
    def day(self) -> date:
        """The day on which it was signed, UTC."""
        return date.fromisoformat(self.cause.day)

    @property
    def text(self) -> str:
        """The statement as prose; empty in statements of releases that had none."""
        return str(self.statement.get("text", ""))

    @property
    def until(self) -> str:
        """End date of a conditional sign-off; empty for an unconditional one."""
        return str(self.statement["until"])

    @property
    def sample(self) -> tuple[Asked, ...] | None:
        """Scoring answers sampled for the signer; None in statements of releases that did not name them."""
        drawn = self.statement.get("sample")
        return None if drawn is None else tuple((answer["question"], answer["of"]) for answer in drawn)


@dataclass(frozen=True, slots=True)
class Comment:
    """A comment on a revision for a half; ``reply_to`` is the number of the event that it answers, 0 for none."""

    half: str
    text: str
    cause: Cause
    reply_to: int = 0
    sends_back: bool = False


@dataclass(frozen=True, slots=True)
class Revision:
    """A fixed state of one system's assessment: its facts and all results, under one hash.

    ``thread`` holds the comments of its review in the order of their events, those with which it was sent back among them.
    """

    system: str
    number: int
    hash: str
    banks: Mapping[str, Any]
    cause: Cause
    thread: tuple[Comment, ...] = ()
    signatures: Mapping[str, Signature] = field(default_factory=dict)
    voided: Cause | None = None

    @property
    def comments(self) -> tuple[tuple[str, Cause], ...]:
        """Comments with which it was sent back."""
        return tuple((comment.text, comment.cause) for comment in self.thread if comment.sends_back)
