"""Efforts in the record of the plant, which a team shares."""

from __future__ import annotations

from collections.abc import Mapping

from checks.access.roles import Person
from checks.events.plant import effort
from checks.improvement import efforts
from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.recording import recorder, teams
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused


def entered(state: State) -> dict[Asked, float]:
    """The efforts that count."""
    return {asked: each.effort for asked, each in state.records.efforts.items() if each.effort is not None}


def enter(live: Live, person: Person, texts: Mapping[Asked, str]) -> list[Event]:
    """Record efforts as they were typed, all or none; an empty text takes an effort away. What is unchanged is not recorded.

    Raises NotAllowed, and Refused for what is no effort and where nothing changes.
    """
    state = live.state()
    teams.require(state, person, effort.Body.PERMISSION, [of for _, of in texts])
    faults, changed, known = [], {}, entered(state)
    for asked, text in texts.items():
        try:
            value = efforts.number(text) if text.strip() else None
        except ValueError:
            faults.append(Fault(f"{asked[0]} of {asked[1]}", f"effort {text}", efforts.ALLOWED))
            continue
        if value != known.get(asked):
            changed[asked] = value
    if not faults and not changed:
        faults.append(Fault("efforts", "nothing changes", "type an effort first"))
    if faults:
        raise Refused("efforts", faults)
    entries = [
        recorder.entry(
            live,
            person,
            effort.Body(question=question, of=of, effort=value),
            slot=f"effort {question} {of}",
            follows=state.records.efforts[question, of].cause.seq if (question, of) in state.records.efforts else 0,
        )
        for (question, of), value in changed.items()
    ]
    return live.store.record(live.key, *entries)
