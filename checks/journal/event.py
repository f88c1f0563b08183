"""One event of the journal, and its digest: the SHA-256 of its canonical form."""

from __future__ import annotations

import json
from dataclasses import dataclass, fields
from hashlib import sha256
from typing import Any

from checks.text.canonical import canonical

DECLARED = "self-declared"
"""Identity recorded where nobody signs in."""


@dataclass(frozen=True, slots=True)
class Event:
    """One event. ``slot`` names what it changes, ``follows`` the event of that slot its author had seen, 0 for none.

    ``body`` is the canonical JSON text of what happened; ``at`` is UTC; ``by`` is the author, ``identity`` how they signed in.
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
        data: dict[str, Any] = json.loads(self.body)
        return data

    def digest(self) -> str:
        """SHA-256 of the canonical form, 64 hexadecimal digits."""
        return sha256(_canonical_form(self)).hexdigest()


FIELDS = tuple(field.name for field in fields(Event) if field.name not in ("journal", "body"))
"""Names of the fields of an event except journal and body, in order."""


def _canonical_form(event: Event) -> bytes:
    """The canonical form of an event. The body is canonical already, and sorts directly after ``at``."""
    first = canonical({"at": event.at})
    others = canonical(
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
    return b"".join((first[:-1], b',"body":', event.body.encode(), b",", others[1:]))
