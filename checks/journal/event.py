"""One event of the journal, and its digest: the SHA-256 of its canonical form."""

from __future__ import annotations

import json
from dataclasses import dataclass, fields
from hashlib import sha256
from typing import Any

from checks.text.canonical import canonical

DECLARED = "self-declared"
"""How a name is known where nobody signs in."""


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
