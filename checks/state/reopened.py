"""What is to be answered or confirmed again, from its events: changes, failures, rounds, confirmations."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.state.entries import Cause, cause_of


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


def in_words(body: Mapping[str, Any]) -> str:
    """A change in words: its reference, where it has one, and what was changed."""
    return f"{body['reference']}: {body['what']}" if body["reference"] else str(body["what"])


class Again:
    """Keeps what a change or a fresh start reopened."""

    def __init__(self) -> None:
        self._to_confirm: dict[Asked, Cause] = {}
        self._anew: dict[Asked, Cause] = {}
        self._confirmed: dict[Asked, Cause] = {}
        self._rounds: dict[str, tuple[Cause, ...]] = {}
        self._changes: tuple[Change, ...] = ()
        self._failures: dict[int, Failed] = {}
        self.take: Mapping[str, Callable[[Event, Mapping[str, Any]], None]] = {
            "change": self._change,
            "failure": self._failure,
            "round": self._round,
            "confirmed": self._confirm,
        }

    def held(self) -> dict[str, Any]:
        """What holds, as fields of the records."""
        return {
            "to_confirm": dict(self._to_confirm),
            "anew": dict(self._anew),
            "confirmed": dict(self._confirmed),
            "rounds": dict(self._rounds),
            "changes": self._changes,
            "failures": tuple(self._failures.values()),
        }

    def answered(self, asked: Asked) -> None:
        """An answer was given: nothing of it is to be taken up again."""
        for held in (self._to_confirm, self._anew, self._confirmed):
            held.pop(asked, None)

    def _change(self, event: Event, body: Mapping[str, Any]) -> None:
        cause = cause_of(event, in_words(body))
        reopened = tuple((one["question"], one["of"]) for one in body["reopened"])
        told = Change(
            kind=body["kind"],
            reference=body["reference"],
            on=body["on"],
            what=body["what"],
            systems=tuple(body["systems"]),
            reopened=reopened,
            data=tuple(body["data"]),
            cause=cause,
        )
        self._changes = (*self._changes, told)
        for asked in reopened:
            self._to_confirm[asked] = cause

    def _failure(self, event: Event, body: Mapping[str, Any]) -> None:
        first = body.get("completes")
        if first is None:
            self._failures[event.seq] = Failed(body, cause_of(event, body["reference"] or "a failure"))
        else:
            known = self._failures.get(first)
            self._failures[first] = Failed(body, known.cause if known else cause_of(event, "a failure"), last=event.seq)

    def _round(self, event: Event, body: Mapping[str, Any]) -> None:
        cause = cause_of(event, f"assessment {body['number']} began")
        self._rounds[body["system"]] = (*self._rounds.get(body["system"], ()), cause)
        held = self._anew if body["blank"] else self._to_confirm
        for one in body["answers"]:
            held[one["question"], one["of"]] = cause

    def _confirm(self, event: Event, body: Mapping[str, Any]) -> None:
        for one in body["answers"]:
            asked = one["question"], one["of"]
            self._to_confirm.pop(asked, None)
            self._confirmed[asked] = cause_of(event, "confirmed")
