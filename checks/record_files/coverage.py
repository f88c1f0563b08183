"""How far the signatures of a journal reach: the events after them could be cut off, and nobody could tell."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from checks.events.signoff import signature
from checks.journal.event import Event
from checks.signoff import signatures
from checks.state.records import Records


def last_covered(events: Iterable[Event], records: Records, head: Callable[[int], str]) -> int:
    """Number of the last event that a signature of a half covers, 0 for none; ``head`` gives the hash after an event.

    Only signatures count that are valid, on this journal, and of an enrolled key that had not been withdrawn.
    """
    reached = 0
    for event in events:
        if event.kind != signature.Body.KIND:
            continue
        body = signature.Body.read(event)
        key, stated = records.keys.get(body.key), body.statement["journal"]
        if key is None or not key.counts(event.at, seq=event.seq) or not 0 < stated["events"] < event.seq:
            continue
        if head(stated["events"]) == stated["head"] and signatures.holds(key.public, body.statement, body.signature):
            reached = max(reached, stated["events"])
    return reached


def sentence(covered: int, then: str) -> str:
    """How far signatures reach, and what holds the events after: ``then`` is "the export" or "this database".

    >>> sentence(40, "the export")
    'held by a signature up to event 40; after that only by the export'
    """
    if not covered:
        return f"held by no signature, only by {then}"
    return f"held by a signature up to event {covered}; after that only by {then}"
