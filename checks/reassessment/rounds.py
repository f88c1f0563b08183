"""The next assessment of a system: when it is due, its start, and taking the start back."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import inf
from typing import Any

from checks.access.roles import Person
from checks.events.plant import assessment_round, entry_taken_back
from checks.journal.event import Event
from checks.journal.event_body import named
from checks.plantfile.plant import Asked
from checks.reassessment import change_records, schedule
from checks.recording import authorship, recorder
from checks.revision import basis
from checks.revision.basis import Scope
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused


@dataclass(frozen=True, slots=True)
class Start:
    """What starting an assessment does: its number, whether it is a blind round, and the answers concerned.

    ``own`` are answers of this system alone, hidden in a blind round, else to be confirmed; ``shared`` are those that other
    systems rest on too, always to be confirmed.
    """

    number: int
    blank: bool
    own: tuple[Asked, ...]
    shared: tuple[Asked, ...]


def start_of(state: State, system: str) -> Start:
    """What starting the next assessment of a system will do."""
    number = completed(state, system) + 1
    scope = basis.scope(state.plant, state.assessment.links, system)
    alone = _own_addressees(state, scope)
    answers = sorted(asked for asked in state.stored if asked[1] in scope.addressees)
    own = tuple(asked for asked in answers if asked[1] in alone)
    return Start(number, schedule.starts_blank(number), own, tuple(asked for asked in answers if asked[1] not in alone))


def _own_addressees(state: State, scope: Scope) -> frozenset[str]:
    """Addressees that no other system rests on."""
    links = state.assessment.links
    groups = {key for key in scope.groups if links.systems_of[key] == (scope.system,)}
    zones = [
        key
        for key in scope.zones
        if all(set(links.systems_of[group]) <= {scope.system} for group in links.groups_in[key])
    ]
    return frozenset((f"system:{scope.system}", *(f"group:{key}" for key in groups), *(f"zone:{key}" for key in zones)))


def completed(state: State, system: str) -> int:
    """Re-assessments of a system that ended with both halves signed."""
    records = state.records
    starts = [cause.seq for cause in records.rounds.get(system, ())]
    signed = [revision.cause.seq for revision in records.revisions.get(system, ()) if records.complete(revision)]
    return sum(any(begin < number < end for number in signed) for begin, end in pairwise([*starts, inf]))


def begin_assessment(live: Live, person: Person, system: str) -> Event:
    """Start the next assessment of a system.

    Every third one is a blind round: answers stay hidden until given again, those of this system alone; what other systems
    rest on too is confirmed. At the others every answer is confirmed. Raises NotAllowed and Refused.
    """
    person.require(assessment_round.Body.PERMISSION)
    state = live.state()
    _check_finished(state, system)
    start = start_of(state, system)
    answers = start.own if start.blank else sorted((*start.own, *start.shared))
    fields: dict[str, Any] = {"system": system, "number": start.number, "blank": start.blank, "answers": named(answers)}
    if start.blank and start.shared:
        fields["to_confirm"] = named(start.shared)
    body, slot = assessment_round.Body.model_validate(fields), f"round {system}"
    last = max((event.seq for event in live.store.events(live.key, slot=slot)), default=0)
    return recorder.record(live, person, body, slot=slot, follows=last)


def _check_finished(state: State, system: str) -> None:
    """Raise Refused where an assessment of the system is under way."""
    if state.records.signed(system) is None:
        raise Refused("re-assessment", [Fault("system", f"{system} was never signed", "finish its first assessment")])
    started = state.records.rounds.get(system, ())
    if started and _last_is_open(state, system):
        what = f"{started[-1].what} on {started[-1].day} and is not signed yet"
        raise Refused("re-assessment", [Fault("assessment", what, "sign both halves of it first")])
    scope = basis.scope(state.plant, state.assessment.links, system)
    to_confirm, to_repeat = (
        sum(of in scope.addressees for _, of in waiting)
        for waiting in (state.records.to_confirm, state.records.to_answer_again)
    )
    if to_confirm or to_repeat:
        waiting = f"still {to_confirm} to confirm, {to_repeat} to answer again"
        raise Refused("re-assessment", [Fault("answers", waiting, "finish these before starting the next assessment")])


def _last_is_open(state: State, system: str) -> bool:
    """Whether no revision since the last start has both signatures."""
    start = state.records.rounds[system][-1]
    signed = state.records.signed(system)
    return signed is None or signed.cause.seq < start.seq


def take_back(live: Live, person: Person, system: str) -> Event:
    """Take back one's own start of an assessment: answers are shown and stand as before.

    Raises NotAllowed, and Refused where it is another person's, or somebody has built on it.
    """
    person.require(assessment_round.Body.PERMISSION)
    state = live.state()
    started = state.records.rounds.get(system, ())
    if not started:
        raise Refused("re-assessment", [Fault("assessment", "none was started", "nothing to take back")])
    entry = started[-1].seq
    (event,) = live.store.events_numbered(live.key, [entry])
    body = assessment_round.Body.read(event)
    faults = authorship.faults(event, person, "ask the person who started it")
    answers = [answer.asked for answer in (*body.answers, *body.to_confirm)]
    faults += change_records.built_on(state, entry, [system], answers)
    if faults:
        raise Refused("re-assessment", faults)
    links = state.assessment.links
    systems = [
        key for key in state.plant.systems if body.concerns(key, basis.scope(state.plant, links, key).addressees)
    ]
    undone = entry_taken_back.Body(entry=entry, systems=tuple(systems))
    return recorder.record(live, person, undone, slot=f"round {system}", follows=entry)
