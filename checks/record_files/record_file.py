"""A record file that anybody can verify: a revision, its signatures, and the journal.

The file is JSON. Events of other systems are sealed: only their digests are in it, so that the chain can be checked without
disclosing them. ``record_text`` writes it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict, ValidationError

from checks.journal.event import Event
from checks.journal.hash_chain import ChainBroken, Link
from checks.revision import basis
from checks.state.records import Records
from checks.state.replay import Fold
from checks.state.revision_status import Revision
from checks.text import files
from checks.text.canonical import canonical
from checks.text.faults import Fault, Refused

RECORD = 1
LARGEST = 200_000_000
UNREADABLE = (LookupError, TypeError, ValueError, AttributeError, StopIteration, ArithmeticError)
"""Errors from reading data of another form: a rebuilt journal may contain anything."""


@dataclass(frozen=True)
class Record:
    """Contents of a record file, not yet verified."""

    plant: str
    exported: dict[str, str]
    journal: str
    system: str
    number: int
    head: str
    revision: dict[str, Any]
    signatures: list[dict[str, Any]]
    chain: list[Link]
    export_signature: dict[str, Any] | None = None

    @property
    def events(self) -> list[Event]:
        """Shown events, in order."""
        return [link.event for link in self.chain if link.event is not None]

    @property
    def made_from(self) -> Link:
        """The last event before the export: a document printed from the record was made from it and those before it."""
        return self.chain[-2]

    def records(self, last: int | None = None) -> Records:
        """Records from the shown events, up to number ``last``; raises ChainBroken at one that this program cannot read.

        The plant data are sealed; the revision gives the structure of the plant.
        """
        fold = Fold(basis.assessment_of(self.revision["facts"]))
        for event in (event for event in self.events if last is None or event.seq <= last):
            try:
                fold.add(event)
            except UNREADABLE as error:
                raise ChainBroken(event.seq, "this program never writes such an event") from error
        return fold.records()

    def of(self, number: int) -> Revision | None:
        """A revision of the record's system; None where it has none of this number."""
        revisions = (
            revision for revision in self.records().revisions.get(self.system, ()) if revision.number == number
        )
        return next(revisions, None)


def read(path: Path) -> Record:
    """The record in a file; raises Refused where it is no record file or is incomplete."""
    name = str(path)
    raw = files.read(path, "a record file", LARGEST)
    if raw.startswith(b"SQLite format 3"):
        run = "name it in SHARED_CAUSE_DB, and run `verify` without a file"
        raise Refused(name, [Fault("(file)", "this is a database, no record file", run)])
    try:
        return from_text(name, raw.decode())
    except UnicodeDecodeError as error:
        raise Refused(name, [Fault("(file)", "not UTF-8 text", "name a record file")]) from error


def from_text(name: str, raw: str) -> Record:
    """The record in a text; raises Refused as ``read`` does. ``name`` is the file name used in faults."""
    try:
        return _record(json.loads(raw, object_pairs_hook=_unique_keys, parse_constant=_no_constant))
    except json.JSONDecodeError as error:
        whole = raw.rstrip().endswith("}") and error.pos < len(raw.rstrip()) - 1
        cut = f"no JSON at line {error.lineno}" if whole else "the file was cut short"
        raise Refused(name, [Fault("(file)", cut, "ask for the record again")]) from error
    except basis.NewerRelease as newer:
        raise Refused(name, [Fault("(release)", newer.what, "use that release to read it")]) from newer
    except (TypeError, ValueError, RecursionError) as error:
        why = "nested too deep" if isinstance(error, RecursionError) else _reason(error)
        raise Refused(name, [Fault("(file)", f"not a record: {why}"[:200], ANOTHER)]) from error


ANOTHER = "name a file that `export` wrote"


def _reason(error: Exception) -> str:
    if not isinstance(error, ValidationError):
        return str(error)
    first = error.errors(include_url=False)[0]
    return f"{'.'.join(map(str, first['loc']))}: {first['msg']}"


def _unique_keys(pairs: Iterable[tuple[str, Any]]) -> dict[str, Any]:
    block: dict[str, Any] = {}
    for name, value in pairs:
        if name in block:
            raise ValueError(f"{name} listed twice")
        block[name] = value
    return block


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is no number")


class _Form(BaseModel):
    """A block of a record file: exactly these keys and types."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class _Signed(_Form):
    half: str
    signer: str
    key: str
    signature: str
    statement: dict[str, Any]


class _SignedExport(_Form):
    key: str
    signature: str
    statement: dict[str, Any]


class _File(_Form):
    record: int
    plant: str
    system: str
    number: int
    exported: dict[str, str]
    journal: str
    head: str
    revision: dict[str, Any]
    signatures: list[_Signed]
    events: list[dict[str, Any]]
    export_signature: _SignedExport | None = None


class _Fields(_Form):
    seq: int
    kind: str
    slot: str | None
    follows: int
    at: str
    by: str
    identity: str
    writer: str
    salt: str


class _Shown(_Form):
    body: dict[str, Any]
    event: _Fields
    hash: str


class _Sealed(_Form):
    digest: str
    hash: str
    seq: int


def _record(data: Any) -> Record:
    if isinstance(data, dict) and data.get("record", RECORD) != RECORD:
        raise ValueError(f"record format {data['record']}, this program reads {RECORD}")
    file = _File.model_validate(data)
    basis.known_editions(file.revision)
    whole = file.export_signature
    statements = [signed.statement for signed in file.signatures] + ([whole.statement] if whole else [])
    canonical([file.revision, *statements])  # raises where there is no canonical form
    return Record(
        plant=file.plant,
        exported=file.exported,
        journal=file.journal,
        system=file.system,
        number=file.number,
        head=file.head,
        revision=file.revision,
        signatures=[signed.model_dump() for signed in file.signatures],
        chain=[_link(entry, file.journal) for entry in file.events],
        export_signature=whole.model_dump() if whole else None,
    )


def _link(entry: dict[str, Any], journal: str) -> Link:
    if "event" not in entry:
        sealed = _Sealed.model_validate(entry)
        return Link(sealed.seq, None, sealed.digest, sealed.hash)
    shown = _Shown.model_validate(entry)
    event = Event(journal=journal, body=canonical(shown.body).decode(), **shown.event.model_dump())
    return Link(event.seq, event, event.digest(), shown.hash)
