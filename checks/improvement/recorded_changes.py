"""Allowed changes in the record of the plant, which a team shares."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from checks.access.roles import Person
from checks.allowed_changes import change as changes
from checks.allowed_changes import fitting
from checks.allowed_changes.change import GroupChange
from checks.events.plant import allowed_change
from checks.improvement import efforts
from checks.journal.event import Event
from checks.recording import recorder, teams
from checks.state.live import Live, State
from checks.state.owner_records import AllowedChange
from checks.text.faults import Fault, Refused


def standing(state: State, groups: Collection[str] | None = None) -> dict[GroupChange, AllowedChange]:
    """The allowed changes that were not withdrawn, of some groups or of all, by group, kind and value."""
    known = state.records.allowed.items()
    return {
        change: entry
        for change, entry in sorted(known, key=lambda each: each[0])
        if entry.effort is not None and (groups is None or change.group in groups)
    }


def fitting_now(state: State, groups: Collection[str]) -> dict[GroupChange, float]:
    """Those of some groups that fit the plant as it is, with their efforts: plant data may have changed since."""
    return {
        change: entry.effort
        for change, entry in standing(state, groups).items()
        if entry.effort is not None and fitting.misfit(state.plant, change) is None
    }


def allow(live: Live, person: Person, fields: Mapping[str, str]) -> Event:
    """Record an allowed change: the texts ``group``, ``change``, ``test``, ``to``, ``effort`` and ``reason``.

    A change that is allowed already gets the new effort and reason. Raises NotAllowed, and Refused with every text that is wrong.
    """
    state = live.state()
    group = fields.get("group", "").strip()
    teams.require(
        state, person, allowed_change.Body.PERMISSION, [f"group:{group}" if group in state.plant.groups else "plant"]
    )
    faults: list[Fault] = []
    effort, change = 0.0, None
    try:
        effort = efforts.number(fields.get("effort", "").strip() or "1")
    except ValueError:
        faults.append(Fault("effort", fields.get("effort", ""), efforts.ALLOWED))
    try:
        change = fitting.read(state.plant, fields)
    except Refused as refused:
        faults += refused.faults
    if change is not None:
        others = [each for each in standing(state, [change.group]) if each != change]
        if len(others) >= fitting.MOST:
            found = f"{len(others)} changes of {change.group} are allowed"
            faults.append(Fault("group", found, f"at most {fitting.MOST}: withdraw one first"))
    if faults or change is None:
        raise Refused("allowed change", faults)
    was = changes.present(state.plant.groups[change.group], change) or ""
    reason = fields.get("reason", "").strip()
    return _recorded(live, person, state, _body(change, effort=effort, was=was, reason=reason))


def withdraw(live: Live, person: Person, change: GroupChange) -> Event:
    """Record that a change is no longer allowed. Raises NotAllowed, and Refused where it is not allowed now."""
    state = live.state()
    known = standing(state).get(change)
    gone = change.group not in state.plant.groups
    teams.require(state, person, allowed_change.Body.PERMISSION, ["plant" if gone else change.of])
    if known is None:
        raise Refused("allowed change", [Fault("change", f"{change} is not allowed", "choose one of the table")])
    return _recorded(live, person, state, _body(change, effort=None, was=known.was, reason=""))


def _body(change: GroupChange, *, effort: float | None, was: str, reason: str) -> allowed_change.Body:
    """The event; what is empty is no part of it."""
    texts = {"test": change.test, "reason": reason}
    return allowed_change.Body.model_validate(
        {
            "group": change.group,
            "change": change.what,
            "was": was,
            "to": change.to,
            "effort": effort,
            **{name: text for name, text in texts.items() if text},
        }
    )


def _recorded(live: Live, person: Person, state: State, body: allowed_change.Body) -> Event:
    """One slot for each group, so that two people cannot allow more than the most at once."""
    own = (entry.cause.seq for change, entry in state.records.allowed.items() if change.group == body.group)
    slot = f"allowed change {body.group}"
    return live.store.record(live.key, recorder.entry(live, person, body, slot=slot, follows=max(own, default=0)))[0]
