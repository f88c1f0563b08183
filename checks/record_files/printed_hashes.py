"""Finding a hash that stands on paper: the event or the revision of a database or a record file that it belongs to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from checks.events.signoff import revision
from checks.journal.hash_chain import Link
from checks.journal.store import Store
from checks.record_files import record_file, verification
from checks.revision import basis
from checks.text.faults import Fault, Refused

DIGITS = 64


class NotThere(LookupError):
    """No event and no revision has the hash."""

    def __init__(self, digest: str, where: str) -> None:
        super().__init__(f"not there: no event and no revision of {where} has the hash {digest}")


def of(text: str) -> str:
    """A hash as it is typed or copied, perhaps in capitals or over several lines; raises Refused."""
    digest = "".join(text.split()).lower()
    if len(digest) != DIGITS or not set(digest) <= set("0123456789abcdef"):
        found = f"{len(digest)} characters" if len(digest) != DIGITS else "other characters"
        raise Refused("verify", [Fault("--printed", found, "give all 64 hexadecimal digits of a printed SHA-256")])
    return digest


def in_store(store: Store, digest: str) -> Iterator[str]:
    """Verify a database and find the hash in it; yields a line a finding. Raises Tampered, Refused, NotThere."""
    yield from verification.verify_store(store)
    found = [line for key, name in store.plants().items() for line in _found(digest, store.chain(key), name)]
    if not found:
        raise NotThere(digest, "this database")
    yield from found


def in_file(path: Path, digest: str) -> Iterator[str]:
    """Verify a record file and find the hash in it, as ``in_store`` does."""
    record = record_file.read(path)
    yield from verification.verify(record)
    found = list(_found(digest, record.chain, record.plant))
    if not found:
        raise NotThere(digest, f"{path}")
    yield from found


def _found(digest: str, chain: Iterable[Link], plant: str) -> Iterator[str]:
    for link in chain:
        event = link.event
        if link.hash == digest:
            by = "sealed" if event is None else f"{event.kind}, {event.at[:10]}, by {event.by or 'somebody'}"
            yield f"found: {digest} is the hash of the audit trail of {plant} after event {link.seq} ({by})"
        if event is not None and event.kind == revision.Body.KIND and basis.hash_of(event.content) == digest:
            body = event.content
            yield (
                f"found: {digest} is the SHA-256 of revision {body['number']} of {body['system']}, {plant} "
                f"(event {event.seq}, {event.at[:10]})"
            )
