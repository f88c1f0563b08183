"""What the owner did, from its events: keys, accepted gaps, intervals; and the actions that are under way."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from checks.record.held import Accepted, Cause, Key, cause_of
from checks.record.journal import Event


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
