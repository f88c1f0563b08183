"""The journal: everything that happened to a plant, in order, each event chained to the one before.

``digest`` is the SHA-256 of an event's canonical form (RFC 8785). ``hash`` is the SHA-256 of the canonical form of that
digest together with the hash before it. So a chain can be followed through events of which only the digest is shown
(a *sealed* event), and a changed, removed or reordered event breaks it at that place. The salt keeps a short answer
from being guessed from its digest.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from hashlib import sha256
from typing import Any

import rfc8785

DECLARED = "self-declared"
"""How a name is known where nobody signs in."""
START = "0" * 64
"""What stands as the hash before the first event."""


class ChainBroken(ValueError):
    """The first event of a journal that does not fit where it stands."""

    def __init__(self, seq: int, what: str) -> None:
        self.seq = seq
        super().__init__(f"event {seq}: {what}")


@dataclass(frozen=True, slots=True)
class Event:
    """One event. ``slot`` names what it changes and ``follows`` the event there that its author had seen, 0 for none.

    ``body`` is the canonical JSON text of what happened; ``at`` is UTC; ``by`` is who, and ``identity`` how that is known.
    """

    journal: str
    seq: int
    kind: str
    slot: str | None
    follows: int
    at: str
    by: str
    identity: str
    writer: str
    salt: str
    body: str

    @property
    def content(self) -> dict[str, Any]:
        """The body as data."""
        held: dict[str, Any] = json.loads(self.body)
        return held

    def digest(self) -> str:
        """SHA-256 of the canonical form, 64 hexadecimal digits."""
        return sha256(_form(self)).hexdigest()


FIELDS = tuple(one.name for one in fields(Event) if one.name not in ("journal", "body"))
"""What an event tells beside its body, in the order of its fields."""


@dataclass(frozen=True, slots=True)
class Link:
    """An event in its chain: the event itself, or None where it is sealed; its digest; the hash after it."""

    seq: int
    event: Event | None
    digest: str
    hash: str


def canonical(value: Any) -> bytes:
    """The canonical form of JSON data after RFC 8785."""
    return rfc8785.dumps(value)


def _form(event: Event) -> bytes:
    """The canonical form of an event. Its body is canonical already; in the order of names it comes after ``at``."""
    first = canonical({"at": event.at})
    rest = canonical(
        {
            "by": event.by,
            "follows": event.follows,
            "identity": event.identity,
            "journal": event.journal,
            "kind": event.kind,
            "salt": event.salt,
            "seq": event.seq,
            "slot": event.slot,
            "writer": event.writer,
        }
    )
    return b"".join((first[:-1], b',"body":', event.body.encode(), b",", rest[1:]))


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
    """Follow a journal from its first event; returns how many events it has and the last hash.

    Raises ChainBroken at the first event that does not fit.
    """
    count, previous = 0, START
    for link in chain:
        count += 1
        if link.seq != count:
            raise ChainBroken(count, f"it is missing; event {link.seq} stands in its place")
        if link.event is not None:
            _fits(link, journal)
        if chained(previous, link.digest) != link.hash:
            raise ChainBroken(count, "it does not follow the event before it: one of the two was changed or moved")
        previous = link.hash
    return count, previous


def _fits(link: Link, journal: str) -> None:
    event = link.event
    if event is None:
        return
    if event.journal != journal or event.seq != link.seq:
        raise ChainBroken(link.seq, "it was moved here from another place")
    if event.digest() != link.digest:
        raise ChainBroken(link.seq, "its content was changed after it was written")
