"""One event of the journal, and its digest: the SHA-256 of its canonical form."""

from __future__ import annotations

import json
from dataclasses import dataclass, fields
from hashlib import sha256
from typing import Any

from checks.text.canonical import quoted, whole

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


def fields_text(event: Event) -> str:
    """Canonical form of the fields of an event except journal and body.

    Assembled from its parts, whose order is fixed: a journal of many thousand events is read and checked often.
    """
    return f'{{"at":{quoted(event.at)},{_from_by_to_identity(event)},{_from_kind(event)}}}'


def _from_by_to_identity(event: Event) -> str:
    return f'"by":{quoted(event.by)},"follows":{whole(event.follows)},"identity":{quoted(event.identity)}'


def _from_kind(event: Event) -> str:
    return (
        f'"kind":{quoted(event.kind)},"salt":{quoted(event.salt)},"seq":{whole(event.seq)},'
        f'"slot":{quoted(event.slot)},"writer":{quoted(event.writer)}'
    )


def _canonical_form(event: Event) -> bytes:
    """The canonical form of an event; the body is canonical already."""
    return (
        f'{{"at":{quoted(event.at)},"body":{event.body},{_from_by_to_identity(event)},'
        f'"journal":{quoted(event.journal)},{_from_kind(event)}}}'
    ).encode()
