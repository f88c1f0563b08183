"""A record as one file that anybody can verify: a revision, its signatures, and the journal around them.

The file is JSON. Events of other systems stand in it sealed: by digest only, so that the chain can be followed and
nothing of them is told. Each block stands on lines of its own in canonical form, so that standard tools can cut out
exactly the bytes that a hash or a signature is over.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from checks.faults import Fault, Refused
from checks.record import basis
from checks.record.fold import Fold
from checks.record.held import Records, Revision
from checks.record.journal import START, ChainBroken, Event, Link, canonical, chained, check

RECORD = 1
LARGEST = 200_000_000
UNREADABLE = (LookupError, TypeError, ValueError, AttributeError, StopIteration, ArithmeticError)
"""What reading data of another form can come to: somebody who rebuilds a journal may write anything into it."""
FIELDS = ("seq", "kind", "slot", "follows", "at", "by", "identity", "writer", "salt")


@dataclass(frozen=True)
class Record:
    """What a record file holds, read but not yet verified."""

    journal: str
    system: str
    number: int
    head: str
    revision: dict[str, Any]
    signatures: list[dict[str, Any]]
    chain: list[Link]

    @property
    def events(self) -> list[Event]:
        """Events that are shown, in order."""
        return [one.event for one in self.chain if one.event is not None]

    def records(self) -> Records:
        """What the shown events come to; raises ChainBroken at one that says nothing to this program.

        The plant data are sealed: what belongs to whom stands in the revision.
        """
        fold = Fold(basis.assessment_of(self.revision["facts"]))
        for event in self.events:
            try:
                fold.add(event)
            except UNREADABLE as error:
                raise ChainBroken(event.seq, "this program never writes such an event") from error
        return fold.records()

    def of(self, number: int) -> Revision | None:
        """A revision of the record's system."""
        held = (one for one in self.records().revisions.get(self.system, ()) if one.number == number)
        return next(held, None)


def concerns(event: Event, system: str, addressees: frozenset[str]) -> bool:
    """Whether an event is shown in a record of a system; all others are sealed."""
    if event.kind in ("plant-data", "private"):
        return False  # the whole plant, and what was not yet revealed; the revision carries what it rests on
    told = event.content
    if event.kind in ("key", "key-withdrawn"):
        return True
    if event.kind == "change":
        return system in told["systems"]
    if event.kind == "confirmed":
        return any(one["of"] in addressees for one in told["answers"])
    return told.get("system") == system if "system" in told else told.get("of") in addressees


def text(events: Sequence[Event], revision: Event, exported: Mapping[str, str]) -> Iterator[str]:
    """Lines of a record file for one revision, with the whole journal of its plant."""
    body = revision.content
    system, number = body["system"], body["number"]
    addressees = _addressees(body)
    signed = [one.content for one in events if one.kind == "signature"]
    signed = [one for one in signed if (one["system"], one["number"]) == (system, number)]
    yield "{"
    head = START
    lines = []
    for event in events:
        digest = event.digest()
        head = chained(head, digest)
        shown = event.seq == revision.seq or concerns(event, system, addressees)
        lines.append(_line(event, head) if shown else _json({"digest": digest, "hash": head, "seq": event.seq}))
    told = {"record": RECORD, "plant": body["plant"], "system": system, "number": number, "exported": dict(exported)}
    for name, value in {**told, "journal": revision.journal, "head": head}.items():
        yield f"{_json(name)}: {_json(value)},"
    yield f'"revision": {revision.body},'
    yield '"signatures": ['
    for at, one in enumerate(signed, start=1):
        yield f'{{"half": {_json(one["half"])}, "signer": {_json(one["statement"]["signer"])},'
        yield f'"key": {_json(one["public"])},'
        yield f'"signature": {_json(one["signature"])},'
        yield f'"statement": {_json(one["statement"])}'
        yield "}," if at < len(signed) else "}"
    yield "],"
    yield '"events": ['
    yield ",\n".join(lines)
    yield "]"
    yield "}"


def _addressees(body: Mapping[str, Any]) -> frozenset[str]:
    assessment = basis.assessment_of(body["facts"])
    return basis.scope(assessment.plant, assessment.links, body["system"]).addressees


def _json(value: Any) -> str:
    return canonical(value).decode()


def _line(event: Event, head: str) -> str:
    shown = {name: getattr(event, name) for name in FIELDS}
    return f'{{"body":{event.body},"event":{_json(shown)},"hash":"{head}"}}'


def read(path: Path) -> Record:
    """The record of a file; raises Refused where it is no record file or was cut short."""
    name = str(path)
    try:
        if path.stat().st_size > LARGEST:
            raise Refused(name, [Fault("(file)", "larger than 200 MB", "name a record file")])
        raw = path.read_text(encoding="utf-8")
    except OSError as error:
        why = error.strerror or "cannot be read"
        raise Refused(name, [Fault("(file)", why, "name a record file that can be read")]) from error
    except UnicodeDecodeError as error:
        raise Refused(name, [Fault("(file)", "not UTF-8 text", "name a record file")]) from error
    return from_text(name, raw)


def from_text(name: str, raw: str) -> Record:
    """The record of a file's text; ``name`` is what faults call the file."""
    try:
        told = json.loads(raw, object_pairs_hook=_once, parse_constant=_no_constant)
        return _record(told)
    except json.JSONDecodeError as error:
        cut = "the file was cut short" if error.pos >= len(raw.rstrip()) - 1 else f"no JSON at line {error.lineno}"
        raise Refused(name, [Fault("(file)", cut, "ask for the record again")]) from error
    except (KeyError, TypeError, ValueError, RecursionError) as error:
        what = f"not a record ({error})" if str(error) else "not a record"
        raise Refused(name, [Fault("(file)", what[:200], "name a file that `export` wrote")]) from error


def _once(pairs: Iterable[tuple[str, Any]]) -> dict[str, Any]:
    held: dict[str, Any] = {}
    for name, value in pairs:
        if name in held:
            raise ValueError(f"{name} stands twice")
        held[name] = value
    return held


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is no number")


def _record(told: dict[str, Any]) -> Record:
    if told["record"] != RECORD:
        raise ValueError(f"record format {told['record']}, this program reads {RECORD}")
    journal = str(told["journal"])
    chain = [_link(one, journal) for one in told["events"]]
    return Record(
        journal=journal,
        system=str(told["system"]),
        number=int(told["number"]),
        head=str(told["head"]),
        revision=dict(told["revision"]),
        signatures=[dict(one) for one in told["signatures"]],
        chain=chain,
    )


def _link(told: dict[str, Any], journal: str) -> Link:
    if "event" not in told:
        return Link(int(told["seq"]), None, str(told["digest"]), str(told["hash"]))
    shown = told["event"]
    body = canonical(told["body"]).decode()
    event = Event(journal=journal, body=body, **{name: shown[name] for name in FIELDS})
    return Link(event.seq, event, event.digest(), str(told["hash"]))


def check_chain(record: Record) -> tuple[int, str]:
    """Follow the journal of a record; raises ChainBroken at the first event that does not fit."""
    return check(record.chain, journal=record.journal)
