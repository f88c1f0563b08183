"""The text of a record file.

Each block is on lines of its own in canonical form, so that standard tools can cut out exactly the bytes that a hash or a
signature covers.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from typing import Any

from checks.events import kinds
from checks.events.signoff import signature
from checks.journal.event import Event, fields_text
from checks.journal.hash_chain import Link
from checks.record_files.record_file import RECORD
from checks.revision import basis
from checks.text.canonical import canonical


def shown(events: Iterable[Event], revision: Event) -> set[int]:
    """Numbers of the events that the record file of a revision shows."""
    body = revision.content
    assessment = basis.assessment_of(body["facts"])
    addressees = basis.scope(assessment.plant, assessment.links, body["system"]).addressees
    return {
        event.seq
        for event in events
        if event.seq == revision.seq
        or ((content := kinds.read(event)) is not None and content.shown_to(body["system"], addressees))
    }


def text(
    chain: Sequence[Link],
    opened: Container[int],
    revision: Event,
    exported: Mapping[str, str],
    export_signature: Mapping[str, Any] | None = None,
) -> Iterator[str]:
    """Lines of the record file of one revision, with the whole checked journal of its plant.

    ``opened`` are the numbers of the events that it shows, ``export_signature`` is a block of ``export_signatures``.
    """
    body = revision.content
    system, number = body["system"], body["number"]
    events = (link.event for link in chain if link.event is not None)
    signed = [signature.Body.read(event) for event in events if event.kind == signature.Body.KIND]
    signed = [body for body in signed if (body.system, body.number) == (system, number)]
    yield "{"
    lines = [
        _line(link.event, link.hash)
        if link.event is not None and link.seq in opened
        else f'{{"digest":"{link.digest}","hash":"{link.hash}","seq":{link.seq}}}'
        for link in chain
    ]
    heading = {"record": RECORD, "plant": body["plant"], "system": system, "number": number, "exported": dict(exported)}
    for name, value in {**heading, "journal": revision.journal, "head": chain[-1].hash}.items():
        yield f"{_json(name)}: {_json(value)},"
    yield f'"revision": {revision.body},'
    yield '"signatures": ['
    for at, signed_half in enumerate(signed, start=1):
        yield f'{{"half": {_json(signed_half.half)}, "signer": {_json(signed_half.statement["signer"])},'
        yield f'"key": {_json(signed_half.public)},'
        yield f'"signature": {_json(signed_half.signature)},'
        yield f'"statement": {_json(signed_half.statement)}'
        yield "}," if at < len(signed) else "}"
    yield "],"
    if export_signature is not None:
        yield '"export_signature": {'
        yield ",\n".join(f"{_json(name)}: {_json(value)}" for name, value in export_signature.items())
        yield "},"
    yield '"events": ['
    yield ",\n".join(lines)
    yield "]"
    yield "}"


def _json(value: Any) -> str:
    return canonical(value).decode()


def _line(event: Event, head: str) -> str:
    return f'{{"body":{event.body},"event":{fields_text(event)},"hash":"{head}"}}'
