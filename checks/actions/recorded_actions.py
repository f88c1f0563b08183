"""Actions in the journal: raised, changed, closed, dropped, imported from an edited list."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from datetime import date
from typing import Any

from pydantic import ValidationError

from checks.access.roles import Person
from checks.actions import action_rules
from checks.actions.action_updates import Held, Proposed, matter
from checks.events.plant.action import Action
from checks.journal.append import Entry
from checks.journal.event import Event
from checks.plantfile.messages import type_fault
from checks.recording import recorder, teams
from checks.revision import basis
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused


def held(state: State) -> dict[str, Action]:
    """All actions, including ended ones, by id."""
    return {key: action for key, (action, _) in state.records.actions.items()}


def to_read_against(state: State, person: Person) -> Held:
    """What an edited list is compared with."""
    return Held(list(held(state).values()), state.plant, person.name or "somebody", state.day)


def raise_one(live: Live, person: Person, fields: Mapping[str, Any]) -> Event:
    """Raise an action; ``fields`` are those of Action except id, state and those of its end. Raises Refused."""
    return raise_all(live, person, [fields])[0]


def raise_all(live: Live, person: Person, several: Iterable[Mapping[str, Any]]) -> list[Event]:
    """Raise several actions, all or none; the fields as for ``raise_one``. Raises Refused."""
    person.require(Action.PERMISSION)
    state = live.state()
    known = list(state.records.actions)
    entries = []
    for fields in several:
        action = _raised(person, state, {**fields, "id": _new_id(person, known)})
        known.append(action.id)
        entries.append(_entry(live, person, state, action))
    return live.store.record(live.key, *entries)


def _raised(person: Person, state: State, fields: Mapping[str, Any]) -> Action:
    try:
        return Action.model_validate({"raised_on": state.day, "raised_by": person.name or "somebody", **fields})
    except ValidationError as error:
        raise Refused("action", [type_fault(detail)[1] for detail in error.errors(include_url=False)]) from error


def close(live: Live, person: Person, key: str, *, evidence: str, verifier: str) -> Event:
    """Close an action with evidence; the verifier is not its owner. No answer changes."""
    return _change(
        live,
        person,
        key,
        lambda action, day: action_rules.closed(action, evidence=evidence, verifier=verifier, on=day).action,
    )


def done(live: Live, person: Person, key: str, *, evidence: str) -> Event:
    """Report an action as done; somebody else verifies and closes it."""
    return _change(live, person, key, lambda action, _day: action_rules.done(action, evidence=evidence))


def drop(live: Live, person: Person, key: str, *, reason: str) -> Event:
    """Drop an action, for a reason."""
    return _change(live, person, key, lambda action, day: action_rules.dropped(action, reason=reason, on=day))


def reopen(live: Live, person: Person, key: str) -> Event:
    """Open an ended action again."""
    return _change(live, person, key, lambda action, _day: action_rules.reopened(action))


def take_over(live: Live, person: Person, proposed: Proposed) -> list[Event]:
    """Store the changes of an edited list, all or none; raises Refused where an action changed since the list was read.

    The ids of ``proposed.new`` are of no account: they come from the actions that the person sees, and are given here.
    """
    person.require(Action.PERMISSION)
    state = live.state()
    present = held(state)
    changed = [update.before.id for update in proposed.updates if present.get(update.before.id) != update.before]
    for action in proposed.new:  # before it is compared with what they may not see
        _require(state, person, action)
    added = {matter(action): action.id for action in present.values()}
    changed += [added[matter(action)] for action in proposed.new if matter(action) in added]
    if changed:
        fault = Fault("(list)", f"{', '.join(changed)} changed since the list was read", "import the list again")
        raise Refused("actions", [fault])
    entries = [_entry(live, person, state, update.after) for update in proposed.updates]
    known = list(state.records.actions)
    for action in proposed.new:
        known.append(_new_id(person, known))
        entries.append(_entry(live, person, state, action.model_copy(update={"id": known[-1]})))
    return live.store.record(live.key, *entries)


def _new_id(person: Person, existing: Collection[str]) -> str:
    """The id of a new action; one that is drawn where the person may not see how many actions other teams have."""
    return (
        action_rules.next_id(existing) if person.may_everywhere(Action.PERMISSION) else action_rules.drawn_id(existing)
    )


def _change(live: Live, person: Person, key: str, change: Callable[[Action, date], Action]) -> Event:
    person.require(Action.PERMISSION)
    state = live.state()
    action = held(state).get(key)
    if action is None:
        raise Refused("action", [Fault("id", f"there is no action {key}", "choose one of the list")])
    return _record(live, person, state, change(action, state.day))


def _record(live: Live, person: Person, state: State, action: Action) -> Event:
    return live.store.record(live.key, _entry(live, person, state, action))[0]


def _entry(live: Live, person: Person, state: State, action: Action) -> Entry:
    before = state.records.actions.get(action.id)
    for version in (action, before[0]) if before else (action,):
        _require(state, person, version)
    wrong = action_rules.check(action, state.plant)
    wrong += action_rules.name_faults(action, before[0] if before else None)
    if wrong:
        raise Refused(action.id, wrong)
    followed = before[1].seq if before else 0
    return recorder.entry(live, person, action, slot=f"action {action.id}", follows=followed)


def _require(state: State, person: Person, action: Action) -> None:
    """Raise NotAllowed where an action concerns what is not of the person's team; without addressees it is the plant's."""
    teams.require(state, person, Action.PERMISSION, action.addressees or ["plant"])


def under_way(state: State, system: str) -> list[Action]:
    """Actions that concern a system and have not ended, the oldest first."""
    addressees = basis.scope(state.plant, state.assessment.links, system).addressees
    return [action for action in by_age(state) if action.concerns(system, addressees)]


def by_age(state: State, *, ended: bool = False) -> list[Action]:
    """Actions under way, the oldest first; or those that ended, the latest first."""
    chosen = [action for action in held(state).values() if (action.state in action_rules.ENDED) == ended]
    return (
        sorted(chosen, key=lambda action: action.closed_on or date.max, reverse=True)
        if ended
        else sorted(chosen, key=lambda action: action.raised_on)
    )
