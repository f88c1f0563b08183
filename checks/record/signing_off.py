"""Sign-off in two halves: what stands in the way of it, and the signature itself."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.bank import banks
from checks.live import Live, State
from checks.record import acting, deeds, revising, sampling, signing
from checks.record.held import REVIEWED, Asked, Key, Revision
from checks.record.journal import Event
from checks.record.people import HALF_OF, Person, plain, same
from checks.record.taking_part import took_part

HALVES = {"safety": ("common_cause",), "security": ("cyber", "requirements")}
"""Banks whose answers each half of a sign-off speaks for."""
CLAIMED = ("met", "equivalent")
SHOWN = 8


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


def in_the_way(now: State, revision: Revision, fixed: Mapping[str, Any], half: str) -> list[str]:
    """Why a half of this revision cannot be signed by anybody; empty where nothing stands in the way."""
    found = []
    state = revising.stands(now, revision)
    if state != REVIEWED:
        found.append(f"revision {revision.number} is {state}, not with the reviewers")
    if half in now.records.counting(now.records.again(revision)):
        found.append(f"its {half} half is signed already")
    return found + lacking(now, fixed, half)


def lacking(now: State, fixed: Mapping[str, Any], half: str) -> list[str]:
    """What a fixed state lacks for one half of a sign-off; of an answer to give anew nothing more than that."""
    found = []
    ours = {name for name, one in banks().every.items() if one.bank in HALVES[half]}
    anew = _anew(now, fixed)
    given = [one for one in fixed["facts"]["plant"].get("answers", []) if (one["question"], one["of"]) not in anew]
    bare = [one for one in given if one["value"] in CLAIMED and _claim(one, ours)]
    if bare:
        found.append(f"{_count(bare, 'answer')} without evidence, but scoring: {_named(bare)}")
    ended = [one for one in given if one not in bare and _ended(now, one, ours)]
    if ended:
        found.append(f"{_count(ended, 'answer')} whose evidence has ended: {_named(ended)}")
    waiting = [one for one in fixed["to_confirm"] if one["question"] in ours]
    if waiting:
        found.append(f"{_count(waiting, 'answer')} still to be confirmed after a change: {_named(waiting)}")
    if half == "security":
        found += _of_zones(now, fixed)
    return found


def _anew(now: State, fixed: Mapping[str, Any]) -> set[Asked]:
    """Answers of a fixed state that stand in the way until they are given anew, whatever they say."""
    return {(one["question"], one["of"]) for one in fixed["to_confirm"]} & now.records.anew.keys()


def _count(several: list[Any], what: str) -> str:
    return f"{len(several)} {what}{'' if len(several) == 1 else 's'}"


def _claim(answer: Mapping[str, Any], ours: set[str]) -> bool:
    return answer["question"] in ours and not answer.get("evidence", "").strip()


def _ended(now: State, answer: Mapping[str, Any], ours: set[str]) -> bool:
    """Whether the evidence of a scoring answer has ended since it was fixed."""
    claims = answer["question"] in ours and answer["value"] in CLAIMED
    return claims and now.ended((answer["question"], answer["of"]))


def _named(several: list[Any]) -> str:
    shown = ", ".join(f"{one['question']} of {one['of']}" for one in several[:SHOWN])
    return shown + (f" and {len(several) - SHOWN} more" if len(several) > SHOWN else "")


def _of_zones(now: State, fixed: Mapping[str, Any]) -> list[str]:
    reviewed = {one["of"] for one in fixed["facts"]["plant"].get("answers", []) if one["question"] in banks().cyber}
    found = [f"zone {zone} was never reviewed" for zone in fixed["results"]["zones"] if f"zone:{zone}" not in reviewed]
    anew = _anew(now, fixed)
    left = [
        f"{name} of {zone}"
        for zone, name, value in open_gaps(fixed)
        if not now.records.stays(fixed["system"], zone, name, value, now.day)
        and anew.isdisjoint({(name, f"zone:{zone}"), (name, "plant")})
    ]
    if left:
        more = f" and {len(left) - SHOWN} more" if len(left) > SHOWN else ""
        found.append(f"{_count(left, 'gap')} neither closed nor accepted: {', '.join(left[:SHOWN])}{more}")
    return found


def open_gaps(fixed: Mapping[str, Any]) -> list[tuple[str, str, str]]:
    """Zone, question and answer of each gap of a fixed revision."""
    return [
        (zone, one["topic"] or one["sr"][0], one["answer"])
        for zone, held in fixed["results"]["zones"].items()
        for one in held["gaps"]
    ]


def against_signer(now: State, person: Person, key: Key | None, half: str, took: Mapping[str, str]) -> list[str]:
    """Why this person cannot sign this half."""
    found = []
    if half not in {HALF_OF[role] for role in person.roles if role in HALF_OF}:
        found.append(f"the {half} half is signed by the {signer_of(half)}")
    if plain(person.name) in took or person.identity in took:
        found.append(f"{person.name} answered, attended, led or accepted a gap; a signer must not have taken part")
    if key is None:
        found.append("this key is not enrolled: the owner enrols its public part first")
        return found
    if not same(key.name, person.name):
        found.append(f"this key is enrolled for {key.name}, not for {person.name or 'you'}")
    if not set(key.roles) & {role for role, held in HALF_OF.items() if held == half}:
        found.append(f"this key is enrolled for {', '.join(key.roles)}, not for the {signer_of(half)}")
    if not key.counts(now.day.isoformat(), seq=now.version.last + 1):
        found.append(f"this key was withdrawn from {key.withdrawn} on ({key.why})")
    return found


def _of_the_other_half(now: State, revision: Revision, half: str, person: Person, key: Key | None) -> list[str]:
    """Two halves take two people (house rule): a second look by the same eyes is none."""
    return [
        f"{one.statement['signer']} signed the {other} half; the two halves take two people"
        for other, one in now.records.counting(revision).items()
        if other != half and (same(one.statement["signer"], person.name) or (key is not None and one.key == key.id))
    ]


def signer_of(half: str) -> str:
    """The role that signs a half."""
    return next(role for role, held in HALF_OF.items() if held == half)


def _of_terms(terms: Terms, day: date) -> list[str]:
    found = []
    if not terms.independence.strip():
        found.append("the statement of independence is missing")
    if not terms.competence.strip():
        found.append("the basis of competence is missing")
    conditions = [one for one in terms.conditions if one.strip()]
    if not terms.turns >= 0:
        found.append(f"{terms.turns} samples were drawn: a number of 0 or more is wanted")
    if conditions and not terms.until:
        found.append("conditions need a last day")
    if terms.until and not conditions:
        found.append("a last day needs its conditions")
    if terms.until and deeds.day_faults("until", terms.until):
        found.append(f"the last day, {terms.until!r}, is no date: write it as 2025-03-04")
    elif terms.until and terms.until <= day.isoformat():
        found.append(f"the last day, {terms.until}, must lie after today")
    return found


def sign(
    live: Live, person: Person, revision: Revision, private: Ed25519PrivateKey, *, half: str, terms: Terms
) -> Event:
    """Sign one half of a revision.

    Raises NotSigned with every reason, NotAllowed, and Overtaken when the half has just been signed.
    """
    person.must("sign")
    now, fixed = live.state(), revising.fixed_body(live, revision)
    revision = now.records.again(revision)
    public = signing.public_text(private.public_key())
    key = now.records.keys.get(signing.key_id(public))
    reasons = in_the_way(now, revision, fixed, half)
    reasons += against_signer(now, person, key, half, took_part(live, revision, fixed)) + _of_terms(terms, now.day)
    reasons += _of_the_other_half(now, revision, half, person, key)
    covers = covered(now, fixed, half)
    if terms.covers not in (None, covers):
        reasons.append("an open action or accepted gap has changed since the list was shown: look at it again")
    if reasons or key is None:
        raise NotSigned(reasons)
    told = {
        **statement(fixed, revision, key, half=half, terms=terms),
        **covers,
        "at": live.clock().isoformat(timespec="seconds"),
        "journal": live.journal_at(now),  # the signature is over everything that came before it
    }
    made = {
        "system": revision.system,
        "number": revision.number,
        "half": half,
        "key": key.id,
        "public": public,
        "statement": told,
        "signature": signing.sign(private, told),
    }
    slot = f"signature {revision.system} {revision.number} {half}"
    seen = revision.signatures[half].cause.seq if half in revision.signatures else 0
    return deeds.record(live, person, "signature", made, slot=slot, follows=seen)


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
            for one in acting.under_way(now, system)
        ],
        "accepted_gaps": [
            {"zone": one.zone, "question": one.question, "reason": one.reason, "until": one.until} for one in accepted
        ],
    }
