"""Record files in the hands of somebody else: what verify says of them, and what a forger without keys can do."""

from __future__ import annotations

import json
from typing import Any

from checks.journal.event import FIELDS, Event
from checks.journal.hash_chain import START, chained
from checks.record_files import record_file, verification
from checks.record_files.verification import Tampered
from checks.text.canonical import canonical
from checks.text.faults import Refused

Told = dict[str, Any]


def verdict(told: str | Told) -> tuple[int, list[str]]:
    """Exit status of ``verify`` for a record file, its text or its data, and what it says."""
    text = told if isinstance(told, str) else json.dumps(told)
    try:
        return 0, list(verification.verify(record_file.from_text("FILE", text)))
    except Tampered as error:
        return 1, [str(error)]
    except Refused as refused:
        return 2, refused.lines()


def of_kind(told: Told, kind: str, at: int = -1) -> Told:
    """One of the shown events of a kind, the last unless another is named."""
    held: list[Told] = [one for one in told["events"] if one.get("event", {}).get("kind") == kind]
    return held[at]


def sealed(told: Told, one: Told) -> None:
    """Seal an event that was shown, without a change to any hash."""
    at = one["event"]["seq"] - 1
    told["events"][at] = {"digest": _digest(told, one), "hash": one["hash"], "seq": at + 1}


def _digest(told: Told, one: Told) -> str:
    fields = {name: one["event"][name] for name in FIELDS}
    return Event(journal=told["journal"], body=canonical(one["body"]).decode(), **fields).digest()


def rebuilt(told: Told) -> Told:
    """Number and chain all events anew, and count anew what is shown: all that can be done without a key."""
    last = told["events"][-1]
    last["body"]["events"] = len(told["events"]) - 1
    last["body"]["shown"] = sum("event" in one for one in told["events"]) - 1
    head = START
    for seq, one in enumerate(told["events"], start=1):
        if "event" in one:
            one["event"]["seq"] = seq
            digest = _digest(told, one)
        else:
            one["seq"], digest = seq, one["digest"]
        one["hash"] = head = chained(head, digest)
    told["head"] = head
    return told


def anchored(told: Told, body: Told, seq: int) -> None:
    """Let a revision or a statement rest on the journal as it now stands before an event."""
    rebuilt(told)
    body["journal"] = {"events": seq - 1, "head": told["events"][seq - 2]["hash"]}
    rebuilt(told)


def seq(one: Told) -> int:
    """Number of an event that is shown."""
    held: int = one["event"]["seq"]
    return held
