"""Who may sign: the role of each half, the banks it covers, and the reasons against a signer."""

from __future__ import annotations

from collections.abc import Mapping

from checks.access.names import comparable, same
from checks.access.roles import HALF_OF, Person
from checks.state.live import State
from checks.state.owner_records import Key

HALVES = {"safety": ("common_cause",), "security": ("cyber", "requirements")}
"""Banks whose answers each half of a sign-off covers."""


def against_signer(
    state: State, person: Person, key: Key | None, half: str, participants: Mapping[str, str]
) -> list[str]:
    """Reasons why this person cannot sign this half; ``participants`` are those who took part, by name and identity."""
    reasons = []
    if half not in {HALF_OF[role] for role in person.roles if role in HALF_OF}:
        reasons.append(f"the {half} half is signed by the {signer_of(half)}")
    if comparable(person.name) in participants or person.identity in participants:
        reasons.append(
            f"{person.name} answered, attended, led or accepted a residual risk; a signer must be independent of the work"
        )
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
