"""What the owner does: enrol and withdraw keys, accept residual gaps, set the interval of re-assessment."""

from __future__ import annotations

from collections.abc import Sequence

from checks.faults import Fault, Refused
from checks.live import Live
from checks.record import deeds, rounds, signing
from checks.record.deeds import day_faults, missing
from checks.record.journal import Event
from checks.record.people import ROLES, Person

Gap = tuple[str, str, str]
"""A residual gap: system, zone and question."""


def enrol(live: Live, person: Person, *, public: str, name: str, roles: Sequence[str]) -> Event:
    """Enrol the public key of a signer; raises NotAllowed, KeyRefused, Refused."""
    person.must("enrol or withdraw a key")
    key = signing.read_public(public)
    wrong = []
    if not name.strip():
        wrong.append(Fault("name", "missing", "say whose key it is"))
    if not roles or not set(roles) <= set(ROLES):
        wrong.append(Fault("roles", f"found {', '.join(roles) or 'none'}", f"allowed: {', '.join(ROLES)}"))
    held = live.state().records.keys.get(signing.key_id(key))
    if held is not None:
        wrong.append(Fault("key", f"enrolled already, for {held.name}", "a key is enrolled once; make another one"))
    if wrong:
        raise Refused("key", wrong)
    told = {"key": signing.key_id(key), "public": key, "name": " ".join(name.split()), "roles": list(roles)}
    return deeds.record(live, person, "key", told, slot=f"key {told['key']}")


def withdraw(live: Live, person: Person, *, key: str, from_day: str, reason: str) -> Event:
    """Let nothing count that a key signs from a day on. A key that turns out to be lost earlier is withdrawn again."""
    person.must("enrol or withdraw a key")
    held = live.state().records.keys.get(key)
    wrong = day_faults("from", from_day) + missing("reason", reason, "say why, in a sentence")
    if held is None:
        wrong.append(Fault("key", f"{key} is not enrolled", "choose one of the list"))
    elif held.withdrawn and held.withdrawn <= from_day:
        wrong.append(
            Fault("key", f"withdrawn already from {held.withdrawn} on", "only an earlier day changes anything")
        )
    if wrong or held is None:
        raise Refused("key", wrong)
    told = {"key": key, "from": from_day, "reason": reason.strip()}
    return deeds.record(live, person, "key-withdrawn", told, slot=f"key {key}", follows=held.last)


def accept_gaps(live: Live, person: Person, gaps: Sequence[Gap], *, reason: str, until: str) -> list[Event]:
    """Accept residual gaps that stay for one and the same reason, until a day; all or none."""
    person.must("accept a gap")
    now = live.state()
    wrong = day_faults("until", until) + missing("reason", reason, "say why, in a sentence")
    if not gaps:
        wrong.append(Fault("gaps", "none", "choose the gaps that are accepted"))
    if not person.name.strip():
        wrong.append(Fault("name", "missing", "a gap is accepted by name: say who you are"))
    if until and until < now.day.isoformat():
        wrong.append(Fault("until", f"found {until}", "a day that is still to come"))
    for system, zone, question in gaps:
        if system not in now.plant.systems:
            wrong.append(Fault("system", f"{system} is no system of this plant", "choose one of the list"))
        if zone not in now.plant.zones or question not in {one.question for one in now.assessment.zone(zone).gaps}:
            wrong.append(Fault("gap", f"{question} of {zone} is not on the gap list", "choose one of the list"))
    if wrong:
        raise Refused("accepted gap", wrong)
    entries = []
    for system, zone, question in dict.fromkeys(gaps):
        (value,) = (one.value for one in now.assessment.zone(zone).gaps if one.question == question)
        told = {"system": system, "zone": zone, "question": question, "value": value}
        told |= {"reason": reason.strip(), "until": until}
        held = now.records.accepted.get((system, zone, question))
        slot = f"gap {system} {zone} {question}"
        seen = held.cause.seq if held else 0
        entries.append(deeds.entry(live, person, "gap-accepted", told, slot=slot, follows=seen))
    return live.store.record(live.key, *entries)


def set_interval(live: Live, person: Person, *, system: str, months: int) -> Event:
    """Say after how many months a system is assessed again."""
    person.must("set an interval")
    wrong = []
    if type(months) is not int or not 1 <= months <= rounds.LONGEST_MONTHS:
        wrong.append(Fault("months", f"found {months}", f"allowed: 1 to {rounds.LONGEST_MONTHS}, whole months"))
    if system not in live.state().plant.systems:
        wrong.append(Fault("system", f"{system} is no system of this plant", "choose one of the list"))
    if wrong:
        raise Refused("interval", wrong)
    return deeds.record(live, person, "interval", {"system": system, "months": months})
