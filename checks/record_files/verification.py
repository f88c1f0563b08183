"""Verification of a record: its journal, revision, signatures and figures.

A signature is over the hash of the revision and the hash of the journal at that time, so it covers all earlier events. No
signature of a half covers events after the last one: the hashes link them, but only a signature of the export, or a comparison
with the database, detects that they were cut off or rewritten.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from checks.access.names import same
from checks.access.roles import HALF_OF
from checks.events.signoff import export, key_withdrawal, signature
from checks.events.signoff import key as keys
from checks.events.signoff import revision as revisions
from checks.journal.event import Event
from checks.journal.hash_chain import ChainBroken, check
from checks.journal.store import Store
from checks.record_files import coverage, export_signatures, record_file
from checks.record_files.record_file import UNREADABLE, Record
from checks.revision import basis
from checks.signoff import signatures
from checks.state import late_entries
from checks.state.owner_records import Key
from checks.state.records import Records
from checks.state.replay import Fold
from checks.state.revision_status import HALVES, Revision
from checks.state.standing import of_revision
from checks.text.canonical import canonical
from checks.text.faults import Fault, Refused

MOST_TOLD = 20
"""Most differing figures to list where another edition computed them."""
REVIEWS = tuple(kind.Body.KIND for kind in (revisions, signature, keys, key_withdrawal))
LIMITS = (
    "not shown by any file: that a key belongs to the person named beside it (compare the key id with the signer's own), "
    "the contents of sealed events, and what was recorded after the export"
)


class Tampered(ValueError):
    """A record or a journal was changed; the message names what does not fit."""


@contextmanager
def _reading(part: str) -> Iterator[None]:
    """Raise Tampered with the name of the part where its data have a form that this program never writes."""
    try:
        yield
    except (Tampered, ChainBroken) as error:
        raise Tampered(str(error)) from error
    except UNREADABLE as error:
        raise Tampered(f"{part}: this program never writes this form") from error


def verify_store(store: Store) -> Iterator[str]:
    """Check the journal and signatures of each plant; yields two lines a plant. Raises Tampered, and Refused where there is none."""
    plants = store.plants()
    for key, name in plants.items():
        try:
            count, head = store.verify(key)
            covered = _check_signatures(store, key)
        except (ChainBroken, Tampered) as error:
            raise Tampered(f"{name}: {error}") from error
        yield f"{name}: {count} events, each fits the one before. Last: {head}"
        yield f"{name}: {coverage.sentence(covered, 'this database')}"
    if not plants:
        nothing = "holds no plant, so there is nothing to verify"
        raise Refused("verify", [Fault("(database)", nothing, "name the right database in SHARED_CAUSE_DB")])


def _check_signatures(store: Store, plant: int) -> int:
    """The last event that a signature covers; raises Tampered at the first one that is not valid for its revision and journal."""
    fold, signed = Fold(), []
    for event in store.events(plant, kinds=REVIEWS):
        with _reading(f"event {event.seq}"):
            fold.add(event)
            if event.kind == signature.Body.KIND:
                signed.append(event)
    records = fold.records()
    for event in signed:
        with _reading(f"event {event.seq}"):
            body = signature.Body.read(event)
            revision = _single_revision(records, body.system, body.number)
            _check_signature(event, body, records.keys.get(body.key), revision)
            _check_basis(body.statement["journal"], event.seq, lambda seq: store.head(plant, seq))
    return coverage.last_covered(signed, records, lambda seq: store.head(plant, seq))


def verify_file(path: Path) -> Iterator[str]:
    """Check a record file; yields one line a finding. Raises Refused and Tampered."""
    yield from verify(record_file.read(path))


def verified(record: Record) -> Record:
    """The same record after verification, since a changed record is never printed. Raises Tampered."""
    for _ in verify(record):
        pass
    return record


def verify(record: Record) -> Iterator[str]:
    """Check journal, revision, signatures and figures; yields one line a finding. Raises Tampered."""
    with _reading("the journal"):
        yield _check_journal(record)
    with _reading("the export"):
        _check_export(record)
    with _reading("the revision"):
        records = record.records()
        revision = _check_revision(record, records)
    yield f"revision {revision.number} of {revision.system}, {record.plant}: SHA-256 {revision.hash}"
    if revision.voided is not None:
        cause = revision.voided
        yield f"void: {cause.what}, {cause.at[:10]}, by {cause.by or 'somebody'} (event {cause.seq})"
    with _reading("the signatures"):
        _check_block(record, records, revision)
        yield from _half_lines(records, revision)
        yield from _standing(record, records, revision)
    yield from late_entries.after_signature(record.events, revision.system)
    yield from late_entries.backwards(record.events)
    with _reading("the figures"):
        yield from figures(record.revision)
    with _reading("the signature of the export"):
        yield _held(record, records)
    yield LIMITS


def _standing(record: Record, records: Records, revision: Revision) -> Iterator[str]:
    """The standing of the revision today; a void one was said already, with its cause."""
    if revision.voided is None:
        today = datetime.now(UTC).date()
        banks = basis.assessment_of(record.revision["facts"]).editions.bank_scores
        found = of_revision(records, revision, today, banks)
        yield f"standing on {today}: {found.words}; {found.why}"


def _check_journal(record: Record) -> str:
    count, head = check(record.chain, journal=record.journal)
    if head != record.head:
        raise Tampered(f"event {count + 1}: missing; the journal was closed with another last event")
    shown = len(record.events)
    return (
        f"{count} events, each fits the one before; {shown} are shown, {count - shown} are sealed: they belong to other "
        f"systems or hold the whole plant. Last: {head}"
    )


def _check_revision(record: Record, records: Records) -> Revision:
    fixed = _single_revision(records, record.system, record.number)
    if basis.hash_of(record.revision) != fixed.hash:
        raise Tampered(f"event {fixed.cause.seq}: revision {fixed.number} was changed after it was fixed")
    if record.plant != record.revision["plant"]:
        raise Tampered(f"the file names the plant {record.plant}, its revision names {record.revision['plant']}")
    _check_basis(record.revision["journal"], fixed.cause.seq, _heads(record))
    return fixed


def _single_revision(records: Records, system: str, number: int) -> Revision:
    numbered = [revision for revision in records.revisions.get(system, ()) if revision.number == number]
    if len(numbered) != 1:
        raise Tampered(f"revision {number} of {system} occurs {len(numbered)} times in the journal, not once")
    return numbered[0]


def _check_basis(stated: Mapping[str, Any], seq: int, head: Callable[[int], str]) -> None:
    """Raise Tampered where the journal before an event is not the one its author saw."""
    count = stated["events"]
    if not 0 < count < seq or head(count) != stated["head"]:
        raise Tampered(f"event {seq}: based on another journal; an earlier event was changed, added or removed")


def _heads(record: Record) -> Callable[[int], str]:
    return {link.seq: link.hash for link in record.chain}.__getitem__


def _check_export(record: Record) -> None:
    """Raise Tampered where the last event is not the export of this record, with the same number of shown events."""
    last = record.chain[-1].event
    if last is None or last.kind != export.Body.KIND:
        raise Tampered(f"event {len(record.chain)}: the last event of a record is its export, and this one is not")
    body = export.Body.read(last)
    if (body.system, body.number, body.events) != (record.system, record.number, last.seq - 1):
        raise Tampered(f"event {last.seq}: it is the export of another record")
    if record.exported != {"at": last.at, "by": last.by, "identity": last.identity}:
        raise Tampered(f"event {last.seq}: who exported the record, and when, was changed in the file")
    shown = len(record.events) - 1
    if body.shown != shown:
        raise Tampered(
            f"event {last.seq}: {body.shown} events were exported, {shown} are shown; some were sealed since"
        )


def _check_signature(event: Event, body: signature.Body, key: Key | None, revision: Revision) -> None:
    """Raise Tampered where a signature is not valid, is of another record, or its key was not enrolled for it."""
    half, stated, at = body.half, body.statement, f"event {event.seq}"
    if key is None or key.cause.seq > event.seq or body.public != key.public:
        raise Tampered(f"{at}: the {half} half was signed with a key that was not enrolled")
    if signatures.key_id(key.public) != key.id or not same(stated["signer"], key.name):
        raise Tampered(f"{at}: the {half} half was signed by {stated['signer']}, with a key enrolled for {key.name}")
    if half not in {HALF_OF.get(role) for role in key.roles}:
        raise Tampered(f"{at}: {key.name} is not enrolled for the {half} half")
    of = (stated["revision"], stated["system"], stated["number"], stated["half"], stated["key"])
    if of != (revision.hash, revision.system, revision.number, half, key.id):
        raise Tampered(f"{at}: the signature of the {half} half belongs to another record")
    if not signatures.holds(key.public, stated, body.signature):
        raise Tampered(f"{at}: the signature of the {half} half is not valid")


def _check_block(record: Record, records: Records, revision: Revision) -> None:
    """Raise Tampered at the first invalid signature, or where the signature block differs from the journal."""
    expected = []
    for event in (event for event in record.events if event.kind == signature.Body.KIND):
        body = signature.Body.read(event)
        if (body.system, body.number) == (revision.system, revision.number):
            _check_signature(event, body, records.keys.get(body.key), revision)
            _check_basis(body.statement["journal"], event.seq, _heads(record))
            block = {"half": body.half, "signature": body.signature, "statement": body.statement}
            expected.append({**block, "signer": body.statement["signer"], "key": body.public})
    if canonical(record.signatures) != canonical(expected):
        raise Tampered("the signatures are not those of the journal")


def _held(record: Record, records: Records) -> str:
    """What holds the events of a record; raises Tampered where the signature of its export does not hold."""
    if wrong := export_signatures.fault(record, records):
        raise Tampered(wrong)
    if holder := export_signatures.holder(record, records):
        return f"the whole record is held by the signature of {holder}"
    return coverage.sentence(coverage.last_covered(record.events, records, _heads(record)), "the export")


def _half_lines(records: Records, revision: Revision) -> Iterator[str]:
    for half in HALVES:
        signed = revision.signatures.get(half)
        if signed is None:
            yield f"{half} half: not signed"
            continue
        key = records.keys[signed.key]
        until = f"; with conditions, until {signed.until}" if signed.until else ""
        late = (
            ""
            if key.counts(signed.cause.at, seq=signed.cause.seq)
            else f"; does not count: the key was withdrawn from {key.withdrawn} on"
        )
        enrolled = f"enrolled by {key.cause.by or 'somebody'}"
        actions = "" if signed.open_actions is None else f"; open actions: {', '.join(signed.open_actions) or 'none'}"
        yield f"{half} half: signed by {key.name}, {signed.cause.day}, key {key.id} ({enrolled}){until}{late}{actions}"


def figures(revision: Mapping[str, Any]) -> Iterator[str]:
    """Compute all figures of the revision again from its facts, with the editions it names; yields one line a finding.

    Raises Tampered where they differ although they were computed by the same program.
    """
    differing = basis.differences(revision)
    if not differing:
        yield "figures: fits; computed again from the facts, no difference"
        return
    if basis.fingerprint_matches(revision["facts"]):
        raise Tampered(f"the figures do not follow from the facts: {differing[0]}")
    yield (
        f"figures: computed by another edition of the program; {len(differing)} differ from what this one computes. "
        "The stored ones are what was signed; reports print them"
    )
    yield from (f"  {place}" for place in differing[:MOST_TOLD])
    if len(differing) > MOST_TOLD:
        yield f"  and {len(differing) - MOST_TOLD} more"
