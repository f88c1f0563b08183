"""Keys, accepted residual risks, intervals, actions, efforts and allowed changes, from their events."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from checks.allowed_changes.change import GroupChange
from checks.assessment.answers import FAVOUR
from checks.events.plant import allowed_change, effort, interval
from checks.events.plant.action import Action
from checks.events.signoff import accepted_gap, key, key_withdrawal, name_link
from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.state.revision_status import Cause, cause_of


@dataclass(frozen=True, slots=True)
class Key:
    """A public key enrolled by the asset owner; signatures from the date ``withdrawn`` on do not count.

    ``last`` is the number of its latest event, ``told`` the time at which its withdrawal was recorded (UTC).
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
        """Whether a signature at time ``at`` in event ``seq`` counts. A wrong clock cannot date it before earlier events."""
        moment = max(at, self.told) if seq > self.last else at
        return not self.withdrawn or moment[:10] < self.withdrawn


@dataclass(frozen=True, slots=True)
class Accepted:
    """A residual risk that the asset owner accepted: reason and end date. ``value`` is the answer at acceptance."""

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
        """Whether it covers a gap with answer ``value``: it has not ended, and the answer is no worse than at acceptance."""
        return self.holds(today) and (not self.value or FAVOUR[value] >= FAVOUR[self.value])


@dataclass(frozen=True, slots=True)
class Effort:
    """The effort of an action; None where it was taken away, and the default counts again."""

    effort: float | None
    cause: Cause


@dataclass(frozen=True, slots=True)
class AllowedChange:
    """What was recorded of an allowed change: its effort (None once withdrawn), the value then, the reason."""

    effort: float | None
    was: str
    reason: str
    cause: Cause


class OwnerRecords:
    """Collects keys, accepted residual risks, intervals, actions, efforts and allowed changes."""

    def __init__(self) -> None:
        self._keys: dict[str, Key] = {}
        self._accepted: dict[tuple[str, str, str], Accepted] = {}
        self._intervals: dict[str, int] = {}
        self._actions: dict[str, tuple[Action, Cause]] = {}
        self._efforts: dict[Asked, Effort] = {}
        self._allowed: dict[GroupChange, AllowedChange] = {}
        self._linked: tuple[tuple[str, str], ...] = ()
        self.handlers: Mapping[str, Callable[[Event, Any], None]] = {
            key.Body.KIND: self._enrol_key,
            key_withdrawal.Body.KIND: self._withdraw_key,
            accepted_gap.Body.KIND: self._accept_gap,
            interval.Body.KIND: self._set_interval,
            name_link.Body.KIND: self._link_names,
            Action.KIND: self._change_action,
            effort.Body.KIND: self._enter_effort,
            allowed_change.Body.KIND: self._allow_change,
        }

    def fields(self) -> dict[str, Any]:
        """The collected fields of the records."""
        return {
            "keys": dict(self._keys),
            "accepted": dict(self._accepted),
            "intervals": dict(self._intervals),
            "actions": dict(self._actions),
            "efforts": dict(self._efforts),
            "allowed": dict(self._allowed),
            "linked_names": self._linked,
        }

    def _enrol_key(self, event: Event, body: key.Body) -> None:
        enrolled = Key(body.key, body.public, body.name, body.roles, cause_of(event, "key enrolled"), event.seq)
        self._keys.setdefault(enrolled.id, enrolled)  # a second enrolment must not undo a withdrawal

    def _withdraw_key(self, event: Event, body: key_withdrawal.Body) -> None:
        enrolled = replace(self._keys[body.key], last=event.seq)
        if not enrolled.withdrawn or body.from_day < enrolled.withdrawn:
            enrolled = replace(enrolled, withdrawn=body.from_day, why=body.reason, told=event.at)
        self._keys[body.key] = enrolled

    def _accept_gap(self, event: Event, body: accepted_gap.Body) -> None:
        cause = cause_of(event, "residual risk accepted")
        accepted = Accepted(body.zone, body.question, body.reason, body.until, cause, body.value)
        self._accepted[body.system, body.zone, body.question] = accepted

    def _link_names(self, _event: Event, body: name_link.Body) -> None:
        self._linked = (*self._linked, (body.name, body.earlier))

    def _set_interval(self, _event: Event, body: interval.Body) -> None:
        self._intervals[body.system] = body.months

    def _change_action(self, event: Event, body: Action) -> None:
        self._actions[body.id] = (body, cause_of(event, f"{body.id} {body.state}"))

    def _enter_effort(self, event: Event, body: effort.Body) -> None:
        self._efforts[body.asked] = Effort(body.effort, cause_of(event, "effort entered"))

    def _allow_change(self, event: Event, body: allowed_change.Body) -> None:
        what = "change withdrawn" if body.effort is None else "change allowed"
        self._allowed[body.allowed] = AllowedChange(body.effort, body.was, body.reason, cause_of(event, what))
