"""The hash chain of the journal: each event chained to the one before.

The ``hash`` of an event is the SHA-256 of the canonical form of its digest and the hash before it. The chain can therefore
be checked through events of which only the digest is shown (*sealed* events), and a changed, removed or reordered event
breaks it at that place. The salt of an event prevents guessing a short answer from its digest.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from hashlib import sha256

from checks.journal.event import Event

START = "0" * 64
"""The hash before the first event."""


class ChainBroken(ValueError):
    """The first event of a journal that does not fit its place."""

    def __init__(self, seq: int, what: str) -> None:
        self.seq = seq
        super().__init__(f"event {seq}: {what}")


@dataclass(frozen=True, slots=True)
class Link:
    """An event in its chain: the event itself, or None where it is sealed; its digest; the hash after it."""

    seq: int
    event: Event | None
    digest: str
    hash: str


def chained(previous: str, digest: str) -> str:
    """The hash after an event: SHA-256 of the canonical form of its digest and the hash before it."""
    return sha256(f'{{"digest":"{digest}","previous":"{previous}"}}'.encode()).hexdigest()


def links(events: Iterable[Event], *, previous: str = START) -> Iterator[Link]:
    """Chain events that follow a hash."""
    for event in events:
        digest = event.digest()
        previous = chained(previous, digest)
        yield Link(event.seq, event, digest, previous)


def check(chain: Iterable[Link], *, journal: str) -> tuple[int, str]:
    """Check a journal from its first event; returns the number of events and the last hash.

    Raises ChainBroken at the first event that does not fit.
    """
    count, previous = 0, START
    for link in chain:
        count += 1
        if link.seq != count:
            raise ChainBroken(count, f"it is missing; event {link.seq} is in its place")
        if link.event is not None:
            _check_event(link, journal)
        if chained(previous, link.digest) != link.hash:
            raise ChainBroken(count, "it does not follow the event before it: one of the two was changed or moved")
        previous = link.hash
    return count, previous


def _check_event(link: Link, journal: str) -> None:
    event = link.event
    if event is None:
        return
    if event.journal != journal or event.seq != link.seq:
        raise ChainBroken(link.seq, "it was moved here from another place")
    if event.digest() != link.digest:
        raise ChainBroken(link.seq, "its content was changed after it was written")
