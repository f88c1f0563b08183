"""Keys of signers, enrolled and withdrawn by the asset owner."""

from __future__ import annotations

from collections.abc import Sequence

from checks.access.names import same
from checks.access.roles import ROLES, Person
from checks.access.similar_names import near
from checks.events.signoff import key as signing_key
from checks.events.signoff import key_withdrawal, name_link
from checks.journal.event import Event
from checks.recording import recorder
from checks.recording.field_checks import day_faults, missing, too_long
from checks.signoff import signatures
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused


def enrol(live: Live, person: Person, *, public: str, name: str, roles: Sequence[str]) -> Event:
    """Enrol the public key of a signer; raises NotAllowed, KeyRefused, Refused."""
    person.require(signing_key.Body.PERMISSION)
    key = signatures.read_public(public)
    faults = []
    if not name.strip():
        faults.append(Fault("name", "missing", "name the key holder"))
    if not roles or not set(roles) <= set(ROLES):
        faults.append(Fault("roles", f"found {', '.join(roles) or 'none'}", f"allowed: {', '.join(ROLES)}"))
    enrolled = live.state().records.keys.get(signatures.key_id(key))
    if enrolled is not None:
        faults.append(
            Fault("key", f"enrolled already, for {enrolled.name}", "a key is enrolled once; create another key")
        )
    if faults:
        raise Refused("key", faults)
    body = signing_key.Body(key=signatures.key_id(key), public=key, name=" ".join(name.split()), roles=tuple(roles))
    return recorder.record(live, person, body, slot=f"key {body.key}")


def similar_holders(state: State) -> dict[str, list[str]]:
    """Holders of keys with the people of the plant whose names a reader would take for theirs; without those who have none."""
    holders = [key.name for key in state.records.keys.values()]
    people = [stored.answer.by for stored in state.stored.values()]
    people += [present.name for attended in state.records.attended.values() for present in attended]
    people += [dissent.who for dissents in state.records.dissents.values() for dissent in dissents]
    known = [name for name in dict.fromkeys([*holders, *people]) if name.strip()]
    similar = {holder: near(holder, known) for holder in dict.fromkeys(holders)}
    return {holder: names for holder, names in similar.items() if names}


def withdraw(live: Live, person: Person, *, key: str, from_day: str, reason: str) -> Event:
    """Withdraw a key: its signatures from ``from_day`` (ISO date) on do not count.

    A key that was lost earlier than thought is withdrawn again. Raises NotAllowed and Refused.
    """
    person.require(key_withdrawal.Body.PERMISSION)
    enrolled = live.state().records.keys.get(key)
    faults = day_faults("from", from_day) + missing("reason", reason, "say why, in a sentence")
    faults += too_long("reason", reason)
    if enrolled is None:
        faults.append(Fault("key", f"{key} is not enrolled", "choose one of the list"))
    elif enrolled.withdrawn and enrolled.withdrawn <= from_day:
        faults.append(
            Fault("key", f"withdrawn already from {enrolled.withdrawn} on", "only an earlier day changes anything")
        )
    if faults or enrolled is None:
        raise Refused("key", faults)
    body = key_withdrawal.Body(key=key, from_day=from_day, reason=reason.strip())
    return recorder.record(live, person, body, slot=f"key {key}", follows=enrolled.last)


def link_names(live: Live, person: Person, *, name: str, earlier: str, reason: str) -> Event:
    """Record that a person was on record under an earlier name; what they did under it counts as theirs.

    Raises NotAllowed and Refused.
    """
    person.require(name_link.Body.PERMISSION)
    faults = missing("name", name, "the present name") + missing("earlier", earlier, "the earlier name")
    faults += missing("reason", reason, "say how it is known, in a sentence") + too_long("reason", reason)
    if name.strip() and same(name, earlier):
        faults.append(Fault("earlier", "the same name", "the name under which the person is on record"))
    if faults:
        raise Refused("names", faults)
    body = name_link.Body(name=" ".join(name.split()), earlier=earlier.strip(), reason=reason.strip())
    return recorder.record(live, person, body)
