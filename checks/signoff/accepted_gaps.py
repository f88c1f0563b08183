"""Acceptance of residual risks by the asset owner, with a reason and an end date."""

from __future__ import annotations

from collections.abc import Sequence

from checks.access.roles import Person
from checks.events.signoff import accepted_gap
from checks.journal.event import Event
from checks.recording import recorder
from checks.recording.field_checks import day_faults, missing, too_long
from checks.state.live import Live
from checks.text.faults import Fault, Refused

Gap = tuple[str, str, str]
"""An open gap: system, zone and question."""


def accept_gaps(live: Live, person: Person, gaps: Sequence[Gap], *, reason: str, until: str) -> list[Event]:
    """Accept open gaps for one reason until a date, all or none.

    ``until`` is an ISO date, today or later. Raises NotAllowed, and Refused with every fault.
    """
    person.require(accepted_gap.Body.PERMISSION)
    state = live.state()
    faults = day_faults("until", until) + missing("reason", reason, "say why, in a sentence")
    faults += too_long("reason", reason)
    if not gaps:
        faults.append(Fault("gaps", "none", "select the gaps to accept"))
    if not person.name.strip():
        faults.append(Fault("name", "missing", "enter your name: a residual risk is accepted by name"))
    if until and until < state.day.isoformat():
        faults.append(Fault("until", f"found {until}", "today or a later date"))
    for system, zone, question in gaps:
        if system not in state.plant.systems:
            faults.append(Fault("system", f"{system} is no system of this plant", "choose one of the list"))
        if zone not in state.plant.zones or question not in {gap.question for gap in state.assessment.zone(zone).gaps}:
            faults.append(Fault("gap", f"{question} of {zone} is not on the gap list", "choose one of the list"))
    if faults:
        raise Refused("residual risk", faults)
    entries = []
    for system, zone, question in dict.fromkeys(gaps):
        (value,) = (gap.value for gap in state.assessment.zone(zone).gaps if gap.question == question)
        body = accepted_gap.Body(
            system=system, zone=zone, question=question, value=value, reason=reason.strip(), until=until
        )
        before = state.records.accepted.get((system, zone, question))
        slot = f"gap {system} {zone} {question}"
        entries.append(recorder.entry(live, person, body, slot=slot, follows=before.cause.seq if before else 0))
    return live.store.record(live.key, *entries)
