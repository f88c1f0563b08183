"""Keys of signers: the asset owner enrols and withdraws them."""

from __future__ import annotations

from collections.abc import Sequence

from checks.access.roles import ROLES, Person
from checks.events.signoff import key as signing_key
from checks.events.signoff import key_withdrawal
from checks.journal.event import Event
from checks.recording import recorder
from checks.recording.field_checks import day_faults, missing
from checks.signoff import signatures
from checks.state.live import Live
from checks.text.faults import Fault, Refused


def enrol(live: Live, person: Person, *, public: str, name: str, roles: Sequence[str]) -> Event:
    """Enrol the public key of a signer; raises NotAllowed, KeyRefused, Refused."""
    person.must(signing_key.Body.PERMISSION)
    key = signatures.read_public(public)
    wrong = []
    if not name.strip():
        wrong.append(Fault("name", "missing", "name the key holder"))
    if not roles or not set(roles) <= set(ROLES):
        wrong.append(Fault("roles", f"found {', '.join(roles) or 'none'}", f"allowed: {', '.join(ROLES)}"))
    held = live.state().records.keys.get(signatures.key_id(key))
    if held is not None:
        wrong.append(Fault("key", f"enrolled already, for {held.name}", "a key is enrolled once; create another key"))
    if wrong:
        raise Refused("key", wrong)
    body = signing_key.Body(key=signatures.key_id(key), public=key, name=" ".join(name.split()), roles=tuple(roles))
    return recorder.record(live, person, body, slot=f"key {body.key}")


def withdraw(live: Live, person: Person, *, key: str, from_day: str, reason: str) -> Event:
    """Let nothing count that a key signs from a day on. A key that turns out to be lost earlier is withdrawn again."""
    person.must(key_withdrawal.Body.PERMISSION)
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
    body = key_withdrawal.Body(key=key, from_day=from_day, reason=reason.strip())
    return recorder.record(live, person, body, slot=f"key {key}", follows=held.last)
