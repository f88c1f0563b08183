"""Who may sign: the role of each half, the banks it covers, and the reasons against a signer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from checks.access.names import same
from checks.access.roles import HALF_OF, Person
from checks.questions.bank import OPINIONS
from checks.signoff import independence
from checks.signoff.independence import Deed
from checks.state.live import State
from checks.state.owner_records import Key

HALVES = {"safety": ("common_cause",), "security": ("cyber", "requirements")}
"""Banks whose answers each half of a sign-off covers; the safety half also those that carry the beta of a group."""


def banks_of(half: str, fixed: Mapping[str, Any]) -> tuple[str, ...]:
    """Banks whose answers one half of the sign-off of a fixed revision covers: a revision names no bank that carries nothing."""
    others = [name for name in fixed["facts"]["banks"] if name in dict(OPINIONS)]
    return (*HALVES[half], *(sorted(others) if half == "safety" else ()))


def against_signer(state: State, person: Person, key: Key | None, half: str, found: Sequence[Deed]) -> list[str]:
    """Reasons why this person cannot sign this half; ``found`` is what people did for the system."""
    reasons = []
    if half not in {HALF_OF[role] for role in person.roles if role in HALF_OF}:
        reasons.append(f"the {half} half is signed by the {signer_of(half)}")
    reasons += independence.against(found, person, state.records.linked_names)
    if key is None:
        reasons.append("this key is not enrolled: the asset owner must enrol its public line first")
        return reasons
    if not same(key.name, person.name):
        reasons.append(f"this key is enrolled for {key.name}, not for {person.name or 'you'}")
    if not set(key.roles) & {role for role, signed_half in HALF_OF.items() if signed_half == half}:
        reasons.append(f"this key is enrolled for {', '.join(key.roles)}, not for the {signer_of(half)}")
    if not key.counts(state.day.isoformat(), seq=state.version.last + 1):
        reasons.append(f"this key was withdrawn from {key.withdrawn} on ({key.why})")
    return reasons


def signer_of(half: str) -> str:
    """The role that signs this half."""
    return next(role for role, signed_half in HALF_OF.items() if signed_half == half)
