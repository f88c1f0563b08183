"""Minutes of a session: who attended, what was answered, dissents and actions, from the journal of some days.

They hold only what their reader may see: answers of other teams and answers that a blind round hides are left out, and a
dissent names a role, never a person.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from itertools import pairwise
from typing import TypeVar

from checks.access.roles import Person
from checks.events.answering import answer, confirmation
from checks.events.kinds import KINDS
from checks.events.plant.action import Action
from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.revision import basis
from checks.revision.basis import Scope
from checks.state.evidence import Dissent, Evidence, Present
from checks.state.live import Live, State
from checks.visibility import blind_round

Item = TypeVar("Item")
HIDDEN = "hidden"
"""Value of an earlier answer that a blind round hides."""


@dataclass(frozen=True, slots=True)
class Period:
    """Days from ``first`` to ``last`` in a time zone; None is that of this machine."""

    first: date
    last: date
    zone: tzinfo | None = None

    def bounds(self) -> tuple[str, str]:
        """The first moment, and the first one after the last day, UTC in the form of the journal."""
        ends = (datetime.combine(day, time()) for day in (self.first, self.last + timedelta(days=1)))
        local = (end.astimezone() if self.zone is None else end.replace(tzinfo=self.zone) for end in ends)
        since, until = (moment.astimezone(UTC).isoformat(timespec="milliseconds") for moment in local)
        return since, until

    def clock(self, at: str) -> datetime:
        """A time of the journal as local time."""
        return datetime.fromisoformat(at).astimezone(self.zone)


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer given in the period: its values from the one before (empty for none) to the last, and the last record of it."""

    question: str
    of: str
    values: tuple[str, ...]
    by: tuple[str, ...]
    at: datetime
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class Confirmed:
    """An answer that was confirmed as it stands."""

    question: str
    of: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class ActionStep:
    """An action, and what was done with it in the period: raised, changed, done, closed or dropped."""

    action: Action
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Minutes:
    """What was recorded in a period for a safety system, or for the whole plant where ``system`` is None.

    ``hidden`` counts the answers of the period that a blind round hides from the reader.
    """

    system: str | None
    period: Period
    present: tuple[tuple[str, Present], ...]
    answers: tuple[Answered, ...]
    confirmed: tuple[Confirmed, ...]
    evidence: tuple[tuple[Asked, Evidence], ...]
    dissents: tuple[tuple[Asked, Dissent], ...]
    actions: tuple[ActionStep, ...]
    hidden: int


def minutes(live: Live, state: State, reader: Person, system: str | None, period: Period) -> Minutes:
    """The minutes of a period as ``reader`` may see them; ``state`` is the reader's. Raises NoSuchSystem."""
    scope = None if system is None else basis.scope(state.plant, state.assessment.links, system)
    events = [event for event in live.store.events_between(live.key, *period.bounds()) if _about(scope, event)]
    hides = blind_round.hides(state, reader)
    given = [event for event in events if event.kind == answer.Body.KIND and state.is_visible(_asked(event)[1])]
    shown = [event for event in given if not (hides and _is_hidden(state, event))]
    numbers = {event.seq for event in events}
    confirmations = (event for event in events if event.kind == confirmation.Body.KIND)
    return Minutes(
        system,
        period,
        tuple(_present(state, system, period)),
        tuple(_answered(live, shown, period, lambda event: hides and _is_hidden(state, event))),
        tuple(each for event in confirmations for each in _confirmed(state, event, period, hides=hides)),
        tuple(_of_events(state.records.evidence, lambda piece: piece.number in numbers)),
        tuple(
            _of_events(
                state.records.dissents, lambda dissent: not numbers.isdisjoint((dissent.cause.seq, dissent.last))
            )
        ),
        tuple(_actions(state, events)),
        len({_asked(event) for event in given} - {_asked(event) for event in shown}),
    )


def _about(scope: Scope | None, event: Event) -> bool:
    """Whether an event concerns the system of a scope; without one, whether it is of a known kind."""
    kind = KINDS.get(event.kind)
    if scope is None or kind is None:
        return kind is not None
    return kind.read(event).concerns(scope.system, scope.addressees)


def _asked(event: Event) -> Asked:
    return answer.Body.read(event).asked


def _is_hidden(state: State, event: Event) -> bool:
    """Whether a blind round hides the answer of an event."""
    cause = state.records.to_answer_again.get(_asked(event))
    return cause is not None and event.seq < cause.seq


def _present(state: State, system: str | None, period: Period) -> Iterable[tuple[str, Present]]:
    """Each person who attended, once a day and system."""
    found = {
        (key, person.on, person.name): (key, person)
        for key, people in state.records.attended.items()
        for person in people
        if system in (None, key) and period.first.isoformat() <= person.on <= period.last.isoformat()
    }
    return found.values()


def _answered(
    live: Live, events: Iterable[Event], period: Period, hidden: Callable[[Event], bool]
) -> Iterable[Answered]:
    """One entry for each answer, in the order in which the answers were first given."""
    by_answer: dict[Asked, list[Event]] = {}
    for event in events:
        by_answer.setdefault(_asked(event), []).append(event)
    earlier = {
        event.seq: HIDDEN if hidden(event) else answer.Body.read(event).value
        for event in live.store.events_numbered(live.key, (given[0].follows for given in by_answer.values()))
    }
    for (question, of), given in by_answer.items():
        bodies = [answer.Body.read(event) for event in given]
        values = [earlier.get(given[0].follows, ""), *(body.value for body in bodies)]
        path = [values[0], *(after for before, after in pairwise(values) if after != before)]
        by = dict.fromkeys(_author(body, event) for body, event in zip(bodies, given, strict=True))
        last = bodies[-1]
        yield Answered(question, of, tuple(path), tuple(by), period.clock(given[-1].at), last.evidence, last.note)


def _author(body: answer.Body, event: Event) -> str:
    """Who gave an answer; who entered it, where somebody else did."""
    by, entered = body.by or "somebody", event.by
    return f"{by}, entered by {entered}" if entered and body.by and entered != body.by else by


def _confirmed(state: State, event: Event, period: Period, *, hides: bool) -> Iterable[Confirmed]:
    for each in confirmation.Body.read(event).answers:
        cause = state.records.to_answer_again.get(each.asked)
        if state.is_visible(each.of) and not (hides and cause is not None and event.seq < cause.seq):
            yield Confirmed(each.question, each.of, event.by, period.clock(event.at))


def _of_events(
    records: Mapping[Asked, tuple[Item, ...]], of_period: Callable[[Item], bool]
) -> Iterable[tuple[Asked, Item]]:
    """Records that were made in the period, with the answers they belong to."""
    return ((asked, item) for asked, items in records.items() for item in items if of_period(item))


def _actions(state: State, events: Iterable[Event]) -> Iterable[ActionStep]:
    """Actions that the reader may see, as they were at the end of the period, with what was done."""
    steps: dict[str, ActionStep] = {}
    for event in (event for event in events if event.kind == Action.KIND):
        action = Action.read(event)
        addressees = action.addressees
        seen = state.within is None or (bool(addressees) and state.within.issuperset(addressees))
        if seen and action.id in state.records.actions:
            step = "raised" if not event.follows else "changed" if action.state == "open" else action.state
            before = steps[action.id].steps if action.id in steps else ()
            steps[action.id] = ActionStep(action, tuple(dict.fromkeys((*before, step))))
    return steps.values()
