"""The signature of an export: it holds the whole record, so that no event at its end can be cut off unnoticed.

It is Ed25519 over a statement of the journal, its number of events and last hash, the system and the revision. The export is
the last of these events, so the signature is in the file alone. Any enrolled key may sign an export: it says who hands the
record out whole, and approves nothing.
"""

from __future__ import annotations

from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.record_files.record_file import Record
from checks.signoff import signatures
from checks.state.records import Records
from checks.text.canonical import canonical
from checks.text.faults import Fault, Refused

SAYS = "This record is whole: it ends with the last of these events."


def enrolled(records: Records, private: Ed25519PrivateKey, *, at: str, seq: int) -> None:
    """Raise Refused where the key is not enrolled, or was withdrawn before ``at``, the time of event ``seq``."""
    key_id = signatures.key_id(signatures.public_text(private.public_key()))
    key = records.keys.get(key_id)
    if key is None:
        raise Refused("key", [Fault(key_id, "not enrolled", "the asset owner must enrol its public line first")])
    if not key.counts(at, seq=seq):
        why = f"withdrawn from {key.withdrawn} on ({key.why})"
        raise Refused("key", [Fault(key_id, why, "sign with another enrolled key, or export without --key")])


def block(
    private: Ed25519PrivateKey, *, journal: str, events: int, head: str, system: str, number: int
) -> dict[str, Any]:
    """The block of a record file: public key, signature and statement."""
    public = signatures.public_text(private.public_key())
    stated = _statement(journal, events, head, system, number, signatures.key_id(public))
    return {"key": public, "signature": signatures.sign(private, stated), "statement": stated}


def _statement(journal: str, events: int, head: str, system: str, number: int, key: str) -> dict[str, Any]:
    return {
        "says": SAYS,
        "journal": journal,
        "events": events,
        "head": head,
        "system": system,
        "number": number,
        "key": key,
    }


def fault(record: Record, records: Records) -> str:
    """Why the signature of an export does not hold; empty where it does, or where the record has none."""
    signed = record.export_signature
    if signed is None:
        return ""
    key = records.keys.get(signatures.key_id(signed["key"]))
    if key is None or key.public != signed["key"]:
        return "the export was signed with a key that was not enrolled"
    if not key.counts(record.exported["at"], seq=len(record.chain)):
        return f"the export was signed with a key that was withdrawn from {key.withdrawn} on"
    expected = _statement(record.journal, len(record.chain), record.head, record.system, record.number, key.id)
    if canonical(signed["statement"]) != canonical(expected):
        return "the signature of the export belongs to another record, or events were cut off or added"
    if not signatures.holds(key.public, expected, signed["signature"]):
        return "the signature of the export is not valid"
    return ""


def holder(record: Record, records: Records) -> str:
    """Name and key of the holder who signed the export; empty where nobody did."""
    if record.export_signature is None:
        return ""
    key = records.keys[signatures.key_id(record.export_signature["key"])]
    return f"{key.name} (key {key.id})"
