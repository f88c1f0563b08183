"""Answers to give or confirm again, from changes, failures, assessment rounds and confirmations."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from checks.events.answering import confirmation
from checks.events.plant import assessment_round, change, data_check, failure
from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.state.revision_status import Cause, cause_of


@dataclass(frozen=True, slots=True)
class Change:
    """A recorded change or advisory, and the event that recorded it.

    ``of_failure`` marks one that was recorded together with the failure it follows from.
    """

    body: change.Body
    cause: Cause
    of_failure: bool = False


@dataclass(frozen=True, slots=True)
class Failed:
    """A failure with its latest record, the event that first recorded it, and the number of the latest completion."""

    body: failure.Body
    cause: Cause
    last: int = 0


@dataclass(frozen=True, slots=True)
class DataToCheck:
    """A place of the plant file that a change may have made wrong, with the systems of the change."""

    place: str
    systems: tuple[str, ...]
    cause: Cause


Causes = tuple[Cause, ...]
"""What reopened an answer, the latest last: when it is taken back, the one before counts again."""


class Reopened:
    """Collects what a change, a failure or a new assessment reopens, and what is confirmed."""

    def __init__(self) -> None:
        self._to_confirm: dict[Asked, Causes] = {}
        self._to_answer_again: dict[Asked, Causes] = {}
        self._confirmed: dict[Asked, Causes] = {}
        self._removed: dict[Asked, list[tuple[dict[Asked, Causes], Causes]]] = {}
        self._data: dict[str, tuple[DataToCheck, ...]] = {}
        self._rounds: dict[str, Causes] = {}
        self._changes: tuple[Change, ...] = ()
        self._failures: dict[int, Failed] = {}
        self._failed: tuple[int, str] = (0, "")
        self.handlers: Mapping[str, Callable[[Event, Any], None]] = {
            change.Body.KIND: self._record_change,
            failure.Body.KIND: self._record_failure,
            assessment_round.Body.KIND: self._begin_round,
            confirmation.Body.KIND: self._confirm,
            data_check.Body.KIND: self._check_data,
        }

    def fields(self) -> dict[str, Any]:
        """The collected fields of the records."""
        return {
            "to_confirm": _latest(self._to_confirm),
            "to_answer_again": _latest(self._to_answer_again),
            "confirmed": _latest(self._confirmed),
            "data_to_check": {place: waiting[-1] for place, waiting in self._data.items()},
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
        for waiting, causes in self._removed.pop(asked, ()):
            waiting.setdefault(asked, causes)

    def entry_taken_back(self, entry: int) -> None:
        """Remove a change or the start of an assessment, with all that waits for its sake alone."""
        for waiting in (self._to_confirm, self._to_answer_again):
            for asked, causes in list(waiting.items()):
                _keep(waiting, asked, tuple(cause for cause in causes if cause.seq != entry))
        for place, several in list(self._data.items()):
            _keep(self._data, place, tuple(waiting for waiting in several if waiting.cause.seq != entry))
        self._changes = tuple(change for change in self._changes if change.cause.seq != entry)
        for system, causes in self._rounds.items():
            self._rounds[system] = tuple(cause for cause in causes if cause.seq != entry)

    def places(self) -> tuple[str, ...]:
        """Places of the plant file that wait to be checked."""
        return tuple(self._data)

    def data_settled(self, places: Iterable[str]) -> None:
        """Remove places that were checked or changed."""
        for place in places:
            self._data.pop(place, None)

    def _record_change(self, event: Event, body: change.Body) -> None:
        cause = cause_of(event, body.invalidates())
        of_failure = self._failed == (event.seq - 1, event.by) and body.what.startswith(change.OF_FAILURE)
        if of_failure:
            self._failed = (event.seq, event.by)
        self._changes = (*self._changes, Change(body, cause, of_failure))
        for answer in body.reopened:
            _add(self._to_confirm, answer.asked, cause)
        for place in body.data_to_check:
            waiting = DataToCheck(place, body.systems, cause)
            self._data[place] = (*self._data.get(place, ()), waiting)

    def _record_failure(self, event: Event, body: failure.Body) -> None:
        self._failed = (event.seq, event.by)
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
            _add(waiting, answer.asked, cause)
        for answer in body.to_confirm:
            _add(self._to_confirm, answer.asked, cause)

    def _confirm(self, event: Event, body: confirmation.Body) -> None:
        for answer in body.answers:
            self._to_confirm.pop(answer.asked, None)
            self._confirmed[answer.asked] = (cause_of(event, "confirmed"),)

    def _check_data(self, _event: Event, body: data_check.Body) -> None:
        self.data_settled(body.places)


def _latest(waiting: Mapping[Asked, Causes]) -> dict[Asked, Cause]:
    return {asked: causes[-1] for asked, causes in waiting.items()}


def _add(waiting: dict[Asked, Causes], asked: Asked, cause: Cause) -> None:
    waiting[asked] = (*waiting.get(asked, ()), cause)


Key = TypeVar("Key")
Kept = TypeVar("Kept")


def _keep(waiting: dict[Key, tuple[Kept, ...]], key: Key, kept: tuple[Kept, ...]) -> None:
    """Keep what is left under a key; without anything the key goes."""
    if kept:
        waiting[key] = kept
    else:
        del waiting[key]
