"""Keys, accepted gaps, intervals and actions, from their events."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from checks.assessment.answers import FAVOUR
from checks.journal.event import Event
from checks.state.entries import Cause, cause_of


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


class Owned:
    """Keeps what the owner answers for."""

    def __init__(self) -> None:
        self._keys: dict[str, Key] = {}
        self._accepted: dict[tuple[str, str, str], Accepted] = {}
        self._intervals: dict[str, int] = {}
        self._actions: dict[str, tuple[Mapping[str, Any], Cause]] = {}
        self.take: Mapping[str, Callable[[Event, Mapping[str, Any]], None]] = {
            "key": self._key,
            "key-withdrawn": self._key_withdrawn,
            "gap-accepted": self._gap_accepted,
            "interval": self._interval,
            "action": self._action,
        }

    def held(self) -> dict[str, Any]:
        """What holds, as fields of the records."""
        return {
            "keys": dict(self._keys),
            "accepted": dict(self._accepted),
            "intervals": dict(self._intervals),
            "actions": dict(self._actions),
        }

    def _key(self, event: Event, body: Mapping[str, Any]) -> None:
        cause, roles = cause_of(event, "key enrolled"), tuple(body["roles"])
        one = Key(body["key"], body["public"], body["name"], roles, cause, event.seq)
        self._keys.setdefault(one.id, one)  # enrolled once: a second time would undo that it was withdrawn

    def _key_withdrawn(self, event: Event, body: Mapping[str, Any]) -> None:
        held = replace(self._keys[body["key"]], last=event.seq)
        if not held.withdrawn or body["from"] < held.withdrawn:
            held = replace(held, withdrawn=body["from"], why=body["reason"], told=event.at)
        self._keys[body["key"]] = held

    def _gap_accepted(self, event: Event, body: Mapping[str, Any]) -> None:
        cause = cause_of(event, "gap accepted")
        value = body.get("value", "")  # not kept from the first day on
        one = Accepted(body["zone"], body["question"], body["reason"], body["until"], cause, value)
        self._accepted[body["system"], one.zone, one.question] = one

    def _interval(self, _event: Event, body: Mapping[str, Any]) -> None:
        self._intervals[body["system"]] = body["months"]

    def _action(self, event: Event, body: Mapping[str, Any]) -> None:
        self._actions[body["id"]] = (body, cause_of(event, f"{body['id']} {body['state']}"))
