"""Is a record what it was? Its journal, its revision, its signatures and its figures, each checked anew."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import isclose
from pathlib import Path
from typing import Any

from checks.record import basis, record_file, signing
from checks.record.held import HALVES, Records, Revision
from checks.record.journal import ChainBroken
from checks.record.people import HALF_OF
from checks.record.record_file import Record
from checks.store.store import Store

CLOSE = 1e-9
"""Relative difference up to which a figure computed anew is the same: another machine may round its last digit otherwise."""


class Tampered(ValueError):
    """A record or a journal that is not what was written; the sentence names what does not fit."""


def verify_store(store: Store) -> Iterator[str]:
    """Follow the journal of every plant; one line each. Raises Tampered."""
    for key, name in store.plants().items():
        try:
            count, head = store.verify(key)
        except ChainBroken as error:
            raise Tampered(f"{name}: {error}") from error
        yield f"{name}: {count} events, each fits the one before. Last: {head}"
        _check_signatures(store, key, name)


def _check_signatures(store: Store, key: int, name: str) -> None:
    """Raise Tampered at the first signature that is not over the revision that the journal holds."""
    hashes: dict[tuple[str, int], str] = {}
    for event in store.events(key, kinds=("revision", "signature")):
        told = event.content
        of = told["system"], told["number"]
        if event.kind == "revision":
            hashes[of] = basis.hash_of(told)
        elif told["statement"]["revision"] != hashes.get(of) or not _holds(told):
            raise Tampered(f"{name}: event {event.seq}: the signature is not over revision {of[1]} of {of[0]}")


def _holds(told: Mapping[str, Any]) -> bool:
    return signing.holds(told["public"], told["statement"], told["signature"])


def verify_file(path: Path) -> Iterator[str]:
    """Check a record file and its signatures; one line a finding. Raises Refused and Tampered."""
    yield from verify(record_file.read(path))


def verify(record: Record) -> Iterator[str]:
    """Check a record: journal, revision, signatures, figures."""
    try:
        count, head = record_file.check_chain(record)
    except ChainBroken as error:
        raise Tampered(str(error)) from error
    if head != record.head:
        raise Tampered(f"event {count + 1}: missing; the journal was closed with another last event")
    shown = len(record.events)
    yield f"{count} events, each fits the one before; {shown} are shown, {count - shown} belong to others and are sealed"
    records = record.records()
    revision = _revision(record, records)
    yield f"revision {revision.number} of {revision.system}: SHA-256 {revision.hash}"
    yield from _signatures(record, records, revision)
    yield _figures(record.revision)


def _revision(record: Record, records: Records) -> Revision:
    held = [one for one in records.revisions.get(record.system, ()) if one.number == record.number]
    if not held:
        raise Tampered(f"revision {record.number} of {record.system} is not in the journal")
    if basis.hash_of(record.revision) != held[-1].hash:
        raise Tampered(f"event {held[-1].cause.seq}: revision {record.number} was changed after it was fixed")
    return held[-1]


def _signatures(record: Record, records: Records, revision: Revision) -> Iterator[str]:
    shown = {one["half"]: one for one in record.signatures}
    if set(shown) != set(revision.signatures):
        raise Tampered("the signatures are not those of the journal")
    for half in HALVES:
        if half not in revision.signatures:
            yield f"{half} half: not signed"
            continue
        held, told = revision.signatures[half], shown[half]
        key = records.keys.get(held.key)
        if key is None or told["key"] != key.public or signing.key_id(key.public) != held.key:
            raise Tampered(f"event {held.cause.seq}: the {half} half was signed with a key that is not enrolled")
        same = (told["statement"], told["signature"]) == (held.statement, held.signature)
        stated = (held.statement["revision"], held.statement["half"], held.statement["key"])
        if not same or stated != (revision.hash, half, key.id):
            raise Tampered(f"event {held.cause.seq}: the signature of the {half} half belongs to another record")
        if not signing.holds(key.public, held.statement, held.signature):
            raise Tampered(f"event {held.cause.seq}: the signature of the {half} half does not hold")
        if half not in {HALF_OF.get(role) for role in key.roles}:
            raise Tampered(f"event {held.cause.seq}: {key.name} is not enrolled for the {half} half")
        late = "" if key.counts(held.cause.at) else f"; does not count: the key was withdrawn from {key.withdrawn} on"
        yield f"{half} half: signed by {key.name}, {held.cause.day}, key {key.id} ({records_say(key.cause.by)}){late}"


def records_say(owner: str) -> str:
    """Who enrolled a key, for a line."""
    return f"enrolled by {owner or 'somebody'}"


def _figures(revision: Mapping[str, Any]) -> str:
    """Compute every figure of the revision anew from what it rests on."""
    facts = revision["facts"]
    if facts["banks"] != basis.banks_in_use():
        return "figures: not computed anew, since this program has other editions of the question banks"
    anew = basis.results(basis.assessment_of(facts), revision["system"])
    apart = next(_apart(revision["results"], anew, "results"), None)
    if apart:
        raise Tampered(f"the figures do not follow from the facts: {apart}")
    return "figures: computed anew from the facts, all the same"


def _apart(one: Any, other: Any, place: str) -> Iterator[str]:
    """Places at which two results differ."""
    if isinstance(one, Mapping) and isinstance(other, Mapping) and one.keys() == other.keys():
        for name in one:
            yield from _apart(one[name], other[name], f"{place}.{name}")
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for at, pair in enumerate(zip(one, other, strict=True)):
            yield from _apart(*pair, f"{place}[{at}]")
    elif _number(one) and _number(other):
        if not isclose(one, other, rel_tol=CLOSE):
            yield f"{place} is {one}, computed {other}"
    elif one != other:
        yield f"{place} is {one!r}, computed {other!r}"


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
