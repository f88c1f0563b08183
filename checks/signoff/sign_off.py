"""Sign-off in two halves: the signed statement, what it covers, and the signature."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.access.names import same
from checks.access.roles import Person
from checks.actions import recorded_actions
from checks.events.signoff import signature
from checks.journal.event import Event
from checks.recording import field_checks, recorder
from checks.signoff import revisions, sampling, signatures
from checks.signoff.independence import deeds
from checks.signoff.open_points import in_the_way, open_gaps
from checks.signoff.signers import HALVES, against_signer
from checks.state.live import Live, State
from checks.state.owner_records import Key
from checks.state.revision_status import Revision
from checks.text import days


class NotSigned(RuntimeError):
    """A refused sign-off; ``reasons`` lists every reason."""

    def __init__(self, reasons: Iterable[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__("not signed: " + "; ".join(self.reasons))


@dataclass(frozen=True, slots=True)
class Terms:
    """What the signer states: independence and competence in their words; conditions and their end date, if any.

    ``turns`` is the number of samples drawn for the signer, ``covers`` what the screen showed as covered by the signature.
    """

    independence: str
    competence: str
    conditions: tuple[str, ...] = ()
    until: str = ""
    turns: int = 0
    covers: Mapping[str, Any] | None = None


def _same_signer_reasons(state: State, revision: Revision, half: str, person: Person, key: Key | None) -> list[str]:
    """Two different people must sign (house rule): a second look by the same person is not independent."""
    return [
        f"{signed.statement['signer']} signed the {other_half} half; two different people must sign"
        for other_half, signed in state.records.counting(revision).items()
        if other_half != half
        and (same(signed.statement["signer"], person.name) or (key is not None and signed.key == key.id))
    ]


def _terms_reasons(terms: Terms, day: date) -> list[str]:
    reasons = []
    if not terms.independence.strip():
        reasons.append("the statement of independence is missing")
    if not terms.competence.strip():
        reasons.append("the basis of competence is missing")
    conditions = [condition for condition in terms.conditions if condition.strip()]
    if not terms.turns >= 0:
        reasons.append(f"{terms.turns} samples were drawn: must be 0 or more")
    if conditions and not terms.until:
        reasons.append("conditions need an end date")
    if terms.until and not conditions:
        reasons.append("an end date needs conditions")
    if terms.until and field_checks.day_faults("until", terms.until):
        reasons.append(f"the end date, {terms.until!r}, is no date: write it as 2025-03-04, {days.RANGE}")
    elif terms.until and terms.until <= day.isoformat():
        reasons.append(f"the end date, {terms.until}, must lie after today")
    return reasons


def sign(
    live: Live, person: Person, revision: Revision, private: Ed25519PrivateKey, *, half: str, terms: Terms
) -> Event:
    """Sign one half of a revision.

    Raises NotSigned with every reason, NotAllowed, and Overtaken when the half has just been signed.
    """
    person.require(signature.Body.PERMISSION)
    state, fixed = live.state(), revisions.fixed_body(live, revision)
    revision = state.records.again(revision)
    public = signatures.public_text(private.public_key())
    key = state.records.keys.get(signatures.key_id(public))
    reasons = in_the_way(state, revision, fixed, half)
    reasons += against_signer(state, person, key, half, deeds(live, revision)) + _terms_reasons(terms, state.day)
    reasons += _same_signer_reasons(state, revision, half, person, key)
    covers = covered(state, fixed, half)
    if terms.covers not in (None, covers):
        reasons.append("an open action or accepted residual risk has changed since the list was shown; check it again")
    if reasons or key is None:
        raise NotSigned(reasons)
    stated = {
        **statement(fixed, revision, key, half=half, terms=terms),
        **covers,
        "at": live.clock().isoformat(timespec="seconds"),
        "journal": live.journal_at(state),  # the signature covers every event before it
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
    follows = revision.signatures[half].cause.seq if half in revision.signatures else 0
    return recorder.record(live, person, signed, slot=slot, follows=follows)


def statement(fixed: Mapping[str, Any], revision: Revision, key: Key, *, half: str, terms: Terms) -> dict[str, Any]:
    """The statement of a signer: hash of the revision, signer, half, terms and sample."""
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
        "conditions": [condition.strip() for condition in terms.conditions if condition.strip()],
        "until": terms.until,
        "sample": sampling.sample(fixed, HALVES[half], revision=revision.hash, who=key.name, turns=terms.turns),
    }


def covered(state: State, fixed: Mapping[str, Any], half: str) -> dict[str, list[dict[str, str]]]:
    """What a signature covers at this moment besides the fixed revision: open actions and accepted residual risks.

    Actions are those of the whole system; residual risks belong to the security half.
    """
    system = fixed["system"]
    gaps = open_gaps(fixed) if half == "security" else []
    accepted = [
        state.records.accepted[system, zone, name]
        for zone, name, value in gaps
        if state.records.stays(system, zone, name, value, state.day)
    ]
    return {
        "open_actions": [
            {
                "id": action.id,
                "what": action.what,
                "owner": action.owner,
                "due": action.due.isoformat(),
                "state": action.state,
            }
            for action in recorded_actions.under_way(state, system)
        ],
        "accepted_gaps": [
            {"zone": gap.zone, "question": gap.question, "reason": gap.reason, "until": gap.until} for gap in accepted
        ],
    }
