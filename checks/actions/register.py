"""Actions in the journal: raised, changed, closed, dropped, taken over from an edited list."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from pydantic import ValidationError

from checks.access.roles import Person
from checks.actions import actions
from checks.actions.action_updates import Held, Proposed
from checks.events.plant.action import Action
from checks.journal.append import Entry
from checks.journal.event import Event
from checks.plantfile.messages import type_fault
from checks.recording import recorder, teams
from checks.revision import basis
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused


def held(now: State) -> dict[str, Action]:
    """Every action there ever was, by id."""
    return {key: action for key, (action, _) in now.records.actions.items()}


def to_read_against(now: State, person: Person) -> Held:
    """What an edited list is read against."""
    return Held(list(held(now).values()), now.plant, person.name or "somebody", now.day)


def raise_one(live: Live, person: Person, fields: Mapping[str, Any]) -> Event:
    """Raise an action; ``fields`` are those of Action but id, state and what ends it. Raises Refused."""
    person.must(Action.PERMISSION)
    now = live.state()
    told = {"raised_on": now.day, "raised_by": person.name or "somebody", **fields, "id": _next(now)}
    try:
        action = Action.model_validate(told)
    except ValidationError as error:
        raise Refused("action", [type_fault(one)[1] for one in error.errors(include_url=False)]) from error
    return _keep(live, person, now, action)


def close(live: Live, person: Person, key: str, *, evidence: str, verifier: str) -> Event:
    """Close an action by its evidence; the verifier is not its owner. No answer changes by it."""
    return _change(
        live, person, key, lambda one, day: actions.closed(one, evidence=evidence, verifier=verifier, on=day).action
    )


def done(live: Live, person: Person, key: str, *, evidence: str) -> Event:
    """Say that an action is done; somebody else verifies and closes it."""
    return _change(live, person, key, lambda one, _day: actions.done(one, evidence=evidence))


def drop(live: Live, person: Person, key: str, *, reason: str) -> Event:
    """Give an action up, for a reason."""
    return _change(live, person, key, lambda one, day: actions.dropped(one, reason=reason, on=day))


def reopen(live: Live, person: Person, key: str) -> Event:
    """Open an ended action again."""
    return _change(live, person, key, lambda one, _day: actions.reopened(one))


def take_over(live: Live, person: Person, proposed: Proposed) -> list[Event]:
    """Store what an edited list asks for, all or nothing; raises Refused where an action changed since the list was read."""
    person.must(Action.PERMISSION)
    now = live.state()
    there = held(now)
    changed = [one.before.id for one in proposed.updates if there.get(one.before.id) != one.before]
    changed += [one.id for one in proposed.new if one.id in there]
    if changed:
        fault = Fault("(list)", f"{', '.join(changed)} changed since the list was read", "import the list again")
        raise Refused("actions", [fault])
    entries = [_entry(live, person, now, one.after) for one in proposed.updates]
    known = list(now.records.actions)
    for one in proposed.new:
        known.append(actions.next_id(known))
        entries.append(_entry(live, person, now, one.model_copy(update={"id": known[-1]})))
    return live.store.record(live.key, *entries)


def _next(now: State) -> str:
    return actions.next_id(now.records.actions)


def _change(live: Live, person: Person, key: str, change: Callable[[Action, date], Action]) -> Event:
    person.must(Action.PERMISSION)
    now = live.state()
    action = held(now).get(key)
    if action is None:
        raise Refused("action", [Fault("id", f"there is no action {key}", "choose one of the list")])
    return _keep(live, person, now, change(action, now.day))


def _keep(live: Live, person: Person, now: State, action: Action) -> Event:
    return live.store.record(live.key, _entry(live, person, now, action))[0]


def _entry(live: Live, person: Person, now: State, action: Action) -> Entry:
    before = now.records.actions.get(action.id)
    for one in (action, before[0]) if before else (action,):
        teams.must(now, person, Action.PERMISSION, one.addressees or ["plant"])
    wrong = actions.check(action, now.plant)
    if wrong:
        raise Refused(action.id, wrong)
    seen = before[1].seq if before else 0
    return recorder.entry(live, person, action, slot=f"action {action.id}", follows=seen)


def under_way(now: State, system: str) -> list[Action]:
    """Actions that concern a system and have not ended, the oldest first."""
    addressees = basis.scope(now.plant, now.assessment.links, system).addressees
    return [one for one in by_age(now) if one.concerns(system, addressees)]


def by_age(now: State, *, ended: bool = False) -> list[Action]:
    """Actions under way, the oldest first; or those that ended, the latest first."""
    every = [one for one in held(now).values() if (one.state in actions.ENDED) == ended]
    return (
        sorted(every, key=lambda one: one.closed_on or date.max, reverse=True)
        if ended
        else sorted(every, key=lambda one: one.raised_on)
    )
