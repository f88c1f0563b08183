"""Record files outside the program: the result of verify, and forgeries that need no key."""

from __future__ import annotations

import json
from typing import Any

from checks.journal.event import FIELDS, Event
from checks.journal.hash_chain import START, chained
from checks.record_files import record_file, verification
from checks.record_files.verification import Tampered
from checks.text.canonical import canonical
from checks.text.faults import Refused

Data = dict[str, Any]


def verdict(data: str | Data) -> tuple[int, list[str]]:
    """Exit status and lines of ``verify`` for a record file, given as text or as data."""
    text = data if isinstance(data, str) else json.dumps(data)
    try:
        return 0, list(verification.verify(record_file.from_text("FILE", text)))
    except Tampered as error:
        return 1, [str(error)]
    except Refused as refused:
        return 2, refused.lines()


def of_kind(data: Data, kind: str, at: int = -1) -> Data:
    """One of the shown events of a kind, the last by default."""
    events: list[Data] = [event for event in data["events"] if event.get("event", {}).get("kind") == kind]
    return events[at]


def sealed(data: Data, event: Data) -> None:
    """Seal a shown event without a change to any hash."""
    at = event["event"]["seq"] - 1
    data["events"][at] = {"digest": _digest(data, event), "hash": event["hash"], "seq": at + 1}


def _digest(data: Data, event: Data) -> str:
    fields = {name: event["event"][name] for name in FIELDS}
    return Event(journal=data["journal"], body=canonical(event["body"]).decode(), **fields).digest()


def rebuilt(data: Data) -> Data:
    """Renumber and rechain all events, and recount those shown: all that is possible without a key."""
    last = data["events"][-1]
    last["body"]["events"] = len(data["events"]) - 1
    last["body"]["shown"] = sum("event" in event for event in data["events"]) - 1
    head = START
    for seq, event in enumerate(data["events"], start=1):
        if "event" in event:
            event["event"]["seq"] = seq
            digest = _digest(data, event)
        else:
            event["seq"], digest = seq, event["digest"]
        event["hash"] = head = chained(head, digest)
    data["head"] = head
    return data


def anchored(data: Data, body: Data, seq: int) -> None:
    """Base a revision or a statement on the present journal before an event."""
    rebuilt(data)
    body["journal"] = {"events": seq - 1, "head": data["events"][seq - 2]["hash"]}
    rebuilt(data)


def seq(event: Data) -> int:
    """Number of a shown event."""
    number: int = event["event"]["seq"]
    return number
