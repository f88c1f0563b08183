"""Answers to give or confirm again, from changes, failures, assessment rounds and confirmations."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from checks.events.answering import confirmation
from checks.events.plant import assessment_round, change, failure
from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.state.revision_status import Cause, cause_of


@dataclass(frozen=True, slots=True)
class Change:
    """A recorded change, failure or advisory, and the event that recorded it."""

    body: change.Body
    cause: Cause


@dataclass(frozen=True, slots=True)
class Failed:
    """A failure with its latest record, the event that first recorded it, and the number of the latest completion."""

    body: failure.Body
    cause: Cause
    last: int = 0


class Reopened:
    """Collects what a change, a failure or a new assessment reopens, and what is confirmed."""

    def __init__(self) -> None:
        self._to_confirm: dict[Asked, Cause] = {}
        self._to_answer_again: dict[Asked, Cause] = {}
        self._confirmed: dict[Asked, Cause] = {}
        self._removed: dict[Asked, list[tuple[dict[Asked, Cause], Cause]]] = {}
        self._rounds: dict[str, tuple[Cause, ...]] = {}
        self._changes: tuple[Change, ...] = ()
        self._failures: dict[int, Failed] = {}
        self.handlers: Mapping[str, Callable[[Event, Any], None]] = {
            change.Body.KIND: self._record_change,
            failure.Body.KIND: self._record_failure,
            assessment_round.Body.KIND: self._begin_round,
            confirmation.Body.KIND: self._confirm,
        }

    def fields(self) -> dict[str, Any]:
        """The collected fields of the records."""
        return {
            "to_confirm": dict(self._to_confirm),
            "to_answer_again": dict(self._to_answer_again),
            "confirmed": dict(self._confirmed),
            "rounds": dict(self._rounds),
            "changes": self._changes,
            "failures": tuple(self._failures.values()),
        }

    def answered(self, asked: Asked) -> None:
        """Remove an answer that was given again from all lists."""
        lists = (self._to_confirm, self._to_answer_again, self._confirmed)
        self._removed[asked] = [(waiting, waiting.pop(asked)) for waiting in lists if asked in waiting]

    def taken_back(self, asked: Asked) -> None:
        """Put the answer that stands again on the lists from which the one taken back removed it."""
        for waiting, cause in self._removed.pop(asked, ()):
            waiting.setdefault(asked, cause)

    def _record_change(self, event: Event, body: change.Body) -> None:
        cause = cause_of(event, body.invalidates())
        self._changes = (*self._changes, Change(body, cause))
        for answer in body.reopened:
            self._to_confirm[answer.asked] = cause

    def _record_failure(self, event: Event, body: failure.Body) -> None:
        if body.completes is None:
            self._failures[event.seq] = Failed(body, cause_of(event, body.reference or "a failure"))
        else:
            known = self._failures.get(body.completes)
            cause = known.cause if known else cause_of(event, "a failure")
            self._failures[body.completes] = Failed(body, cause, last=event.seq)

    def _begin_round(self, event: Event, body: assessment_round.Body) -> None:
        cause = cause_of(event, f"assessment {body.number} began")
        self._rounds[body.system] = (*self._rounds.get(body.system, ()), cause)
        waiting = self._to_answer_again if body.blank else self._to_confirm
        for answer in body.answers:
            waiting[answer.asked] = cause

    def _confirm(self, event: Event, body: confirmation.Body) -> None:
        for answer in body.answers:
            self._to_confirm.pop(answer.asked, None)
            self._confirmed[answer.asked] = cause_of(event, "confirmed")
