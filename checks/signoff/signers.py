"""Who may sign: the role of each half, the banks it covers, and what keeps a person from signing it."""

from __future__ import annotations

from collections.abc import Mapping

from checks.access.names import plain, same
from checks.access.roles import HALF_OF, Person
from checks.state.live import State
from checks.state.owner_records import Key

HALVES = {"safety": ("common_cause",), "security": ("cyber", "requirements")}
"""Banks whose answers each half of a sign-off speaks for."""


def against_signer(now: State, person: Person, key: Key | None, half: str, took: Mapping[str, str]) -> list[str]:
    """Why this person cannot sign this half."""
    found = []
    if half not in {HALF_OF[role] for role in person.roles if role in HALF_OF}:
        found.append(f"the {half} half is signed by the {signer_of(half)}")
    if plain(person.name) in took or person.identity in took:
        found.append(
            f"{person.name} answered, attended, led or accepted a residual risk; a signer must be independent of the work"
        )
    if key is None:
        found.append("this key is not enrolled: the asset owner must enrol its public line first")
        return found
    if not same(key.name, person.name):
        found.append(f"this key is enrolled for {key.name}, not for {person.name or 'you'}")
    if not set(key.roles) & {role for role, held in HALF_OF.items() if held == half}:
        found.append(f"this key is enrolled for {', '.join(key.roles)}, not for the {signer_of(half)}")
    if not key.counts(now.day.isoformat(), seq=now.version.last + 1):
        found.append(f"this key was withdrawn from {key.withdrawn} on ({key.why})")
    return found


def signer_of(half: str) -> str:
    """The role that signs a half."""
    return next(role for role, held in HALF_OF.items() if held == half)
