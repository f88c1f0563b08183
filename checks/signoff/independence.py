"""Taking part in an assessment: which deeds are a hand in it, what they are called, which role they take, who did them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from checks.access.names import plain, same
from checks.access.roles import MAY
from checks.journal.event import DECLARED, Event
from checks.state.entries import Revision
from checks.state.live import Live


@dataclass(frozen=True, slots=True)
class Part:
    """A deed of ``roles.MAY``, and what somebody did by it in words; no words where a report tells nobody's name."""

    deed: str
    words: str = ""


PARTS: Mapping[str, Part] = {
    "answer": Part("answer a question", "answered"),
    "private": Part("answer privately"),
    "confirmed": Part("confirm an answer", "confirmed answers"),
    "dissent": Part("record a dissent"),
    "dissent-closed": Part("record a dissent"),
    "evidence": Part("record evidence", "recorded evidence"),
    "evidence-withdrawn": Part("record evidence", "took evidence back"),
    "attendance": Part("record who attended", "recorded who attended"),
    "round": Part("begin a re-assessment", "began an assessment"),
    "revision": Part("put up for review", "put a revision up for review"),
    "gap-accepted": Part("accept a gap", "accepted gaps"),
}
"""Kinds of events of which somebody who signs must have done none for the system. Dissents are told by role only."""
IMPORTED = Part("import plant data", "imported answers")


def part_of(event: Event) -> Part | None:
    """What an event is as a part in an assessment; None where it is none."""
    if event.kind == "answer" and not same(event.content["by"], event.by):
        return IMPORTED
    return PARTS.get(event.kind)


def roles_for(parts: Iterable[Part]) -> list[str]:
    """Roles that deeds take together. Where several would do and another deed shows one of them, no further is named.

    >>> roles_for([PARTS["answer"], PARTS["evidence"]]), roles_for([PARTS["evidence"]])
    (['team member'], ['facilitator or team member'])
    """
    needed = {MAY[one.deed]: None for one in parts}
    certain = {roles[0]: None for roles in needed if len(roles) == 1}
    return [*certain, *(" or ".join(roles) for roles in needed if certain.keys().isdisjoint(roles))]


def took_part(live: Live, revision: Revision, fixed: Mapping[str, Any]) -> dict[str, str]:
    """Everybody who had a hand in this revision: by plain name, and by identity where they signed in, the name as written.

    What was recorded after the revision counts too, such as who attended.
    """
    of = {one["of"] for one in fixed["facts"]["plant"].get("answers", [])}
    records = live.state().records
    earlier = [one for one in records.revisions[revision.system] if one.number < revision.number]
    after = max((one.cause.seq for one in earlier if records.complete(one)), default=0)
    names = [one.get("by", "") for one in fixed["facts"]["plant"].get("answers", [])]
    known: dict[str, str] = {}
    names += [one["name"] for one in fixed["attended"]] + [one["who"] for one in fixed["dissents"]]
    for event in live.store.events(live.key, after=after, kinds=tuple(PARTS)):
        told = event.content
        about = {told.get("of"), *(one["of"] for one in told.get("answers", ()))}
        if about & of or told.get("system") == revision.system:
            names += [
                event.by,
                told.get("by", ""),
                told.get("who", ""),
                *(one["name"] for one in told.get("people", ())),
            ]
            if event.identity != DECLARED:
                known[event.identity] = event.by
    return known | {plain(name): name for name in names if name.strip()}
