"""Sign-off in two halves: the signed statement, what it covers, and the signature."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.access.names import same
from checks.access.roles import Person
from checks.actions import recorded_actions
from checks.events.signoff import signature
from checks.journal.event import Event
from checks.recording import recorder
from checks.signoff import revisions, sampling, signatures, statement
from checks.signoff.independence import deeds
from checks.signoff.open_points import in_the_way
from checks.signoff.signers import against_signer, banks_of
from checks.signoff.terms import Terms, wrong
from checks.state import assessment_interval
from checks.state.live import Live, State
from checks.state.owner_records import Key
from checks.state.revision_status import Revision


class NotSigned(RuntimeError):
    """A refused sign-off; ``reasons`` lists every reason."""

    def __init__(self, reasons: Iterable[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__("not signed: " + "; ".join(self.reasons))


def _same_signer_reasons(state: State, revision: Revision, half: str, person: Person, key: Key | None) -> list[str]:
    """Two different people must sign (house rule): a second look by the same person is not independent."""
    return [
        f"{signed.statement['signer']} signed the {other_half} half; two different people must sign"
        for other_half, signed in state.records.counting(revision).items()
        if other_half != half
        and (same(signed.statement["signer"], person.name) or (key is not None and signed.key == key.id))
    ]


def _terms_reasons(
    state: State, revision: Revision, fixed: Mapping[str, Any], half: str, terms: Terms, signer: str
) -> list[str]:
    """What is wrong with the terms of a signer for this revision."""
    drawn = sampling.sample(fixed, banks_of(half, fixed), revision=revision.hash, who=signer, turns=terms.turns)
    actions = [action.id for action in recorded_actions.under_way(state, revision.system)]
    months = state.records.intervals.get(revision.system, assessment_interval.USUAL_MONTHS)
    due = assessment_interval.due(state.day, months)
    return wrong(terms, drawn, statement.never_answered(fixed, half), actions, (state.day, due))


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
    reasons += against_signer(state, person, key, half, deeds(live, revision))
    reasons += _terms_reasons(state, revision, fixed, half, terms, person.name if key is None else key.name)
    reasons += _same_signer_reasons(state, revision, half, person, key)
    if reasons or key is None:
        raise NotSigned(reasons)
    stated = statement.fields(state, fixed, revision, key.name, half=half, terms=terms)
    if terms.shown not in (None, stated["text"]):
        raise NotSigned(["the statement has changed since it was shown, such as an open action; read it again"])
    at, journal = live.clock().isoformat(timespec="seconds"), live.journal_at(state)
    # The signature covers every event before it.
    stated |= {
        "key": key.id,
        "at": at,
        "journal": journal,
        "text": f"{stated['text']}\n\n{statement.signing_line(at, journal)}",
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
