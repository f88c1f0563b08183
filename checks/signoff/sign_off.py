"""Sign-off in two halves: the statement that is signed, what it covers, and the signature."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.access.names import same
from checks.access.roles import Person
from checks.actions import register
from checks.events.signoff import signature
from checks.journal.event import Event
from checks.recording import field_checks, recorder
from checks.signoff import revisions, sampling, signatures
from checks.signoff.independence import took_part
from checks.signoff.open_points import in_the_way, open_gaps
from checks.signoff.signers import HALVES, against_signer
from checks.state.entries import Revision
from checks.state.live import Live, State
from checks.state.owner_records import Key


class NotSigned(RuntimeError):
    """A sign-off that is refused; ``reasons`` holds every one."""

    def __init__(self, reasons: Iterable[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__("not signed: " + "; ".join(self.reasons))


@dataclass(frozen=True, slots=True)
class Terms:
    """What the signer states: independence and competence in their words; conditions and their last day, if any.

    ``turns`` says how many samples were drawn for them, ``covers`` what they were told that the signature will cover.
    """

    independence: str
    competence: str
    conditions: tuple[str, ...] = ()
    until: str = ""
    turns: int = 0
    covers: Mapping[str, Any] | None = None


def _of_the_other_half(now: State, revision: Revision, half: str, person: Person, key: Key | None) -> list[str]:
    """Two halves take two people (house rule): a second look by the same eyes is none."""
    return [
        f"{one.statement['signer']} signed the {other} half; two different people must sign"
        for other, one in now.records.counting(revision).items()
        if other != half and (same(one.statement["signer"], person.name) or (key is not None and one.key == key.id))
    ]


def _of_terms(terms: Terms, day: date) -> list[str]:
    found = []
    if not terms.independence.strip():
        found.append("the statement of independence is missing")
    if not terms.competence.strip():
        found.append("the basis of competence is missing")
    conditions = [one for one in terms.conditions if one.strip()]
    if not terms.turns >= 0:
        found.append(f"{terms.turns} samples were drawn: must be 0 or more")
    if conditions and not terms.until:
        found.append("conditions need an end date")
    if terms.until and not conditions:
        found.append("an end date needs conditions")
    if terms.until and field_checks.day_faults("until", terms.until):
        found.append(f"the end date, {terms.until!r}, is no date: write it as 2025-03-04")
    elif terms.until and terms.until <= day.isoformat():
        found.append(f"the end date, {terms.until}, must lie after today")
    return found


def sign(
    live: Live, person: Person, revision: Revision, private: Ed25519PrivateKey, *, half: str, terms: Terms
) -> Event:
    """Sign one half of a revision.

    Raises NotSigned with every reason, NotAllowed, and Overtaken when the half has just been signed.
    """
    person.must(signature.Body.PERMISSION)
    now, fixed = live.state(), revisions.fixed_body(live, revision)
    revision = now.records.again(revision)
    public = signatures.public_text(private.public_key())
    key = now.records.keys.get(signatures.key_id(public))
    reasons = in_the_way(now, revision, fixed, half)
    reasons += against_signer(now, person, key, half, took_part(live, revision, fixed)) + _of_terms(terms, now.day)
    reasons += _of_the_other_half(now, revision, half, person, key)
    covers = covered(now, fixed, half)
    if terms.covers not in (None, covers):
        reasons.append("an open action or accepted residual risk has changed since the list was shown; check it again")
    if reasons or key is None:
        raise NotSigned(reasons)
    stated = {
        **statement(fixed, revision, key, half=half, terms=terms),
        **covers,
        "at": live.clock().isoformat(timespec="seconds"),
        "journal": live.journal_at(now),  # the signature is over everything that came before it
    }
    signed = signature.Body(
        system=revision.system,
        number=revision.number,
        half=half,
        key=key.id,
        public=public,
        statement=stated,
        signature=signatures.sign(private, stated),
    )
    slot = f"signature {revision.system} {revision.number} {half}"
    seen = revision.signatures[half].cause.seq if half in revision.signatures else 0
    return recorder.record(live, person, signed, slot=slot, follows=seen)


def statement(fixed: Mapping[str, Any], revision: Revision, key: Key, *, half: str, terms: Terms) -> dict[str, Any]:
    """What a signer states: the revision by its hash, who signs which half of it, on which terms, after which sample."""
    return {
        "says": f"reviewed, {half} half; an assessment, not an audit and not a certificate",
        "plant": fixed["plant"],
        "system": revision.system,
        "number": revision.number,
        "revision": revision.hash,
        "half": half,
        "signer": key.name,
        "key": key.id,
        "independence": terms.independence.strip(),
        "competence": terms.competence.strip(),
        "conditions": [one.strip() for one in terms.conditions if one.strip()],
        "until": terms.until,
        "sample": sampling.sample(fixed, HALVES[half], revision=revision.hash, who=key.name, turns=terms.turns),
    }


def covered(now: State, fixed: Mapping[str, Any], half: str) -> dict[str, list[dict[str, str]]]:
    """What a signature of this moment covers beside a fixed revision: actions under way, and gaps that were accepted.

    Actions are those of the whole system; gaps belong to the security half.
    """
    system = fixed["system"]
    gaps = open_gaps(fixed) if half == "security" else []
    accepted = [
        now.records.accepted[system, zone, name]
        for zone, name, value in gaps
        if now.records.stays(system, zone, name, value, now.day)
    ]
    return {
        "open_actions": [
            {"id": one.id, "what": one.what, "owner": one.owner, "due": one.due.isoformat(), "state": one.state}
            for one in register.under_way(now, system)
        ],
        "accepted_gaps": [
            {"zone": one.zone, "question": one.question, "reason": one.reason, "until": one.until} for one in accepted
        ],
    }
