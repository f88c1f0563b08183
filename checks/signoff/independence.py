"""Taking part in an assessment: which deeds are a hand in it, what they are called, which role they take, who did them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from checks.access.names import plain, same
from checks.access.roles import MAY
from checks.events.answering import answer
from checks.events.kinds import KINDS
from checks.events.plant import plant_data
from checks.journal.event import DECLARED, Event
from checks.state.entries import Revision
from checks.state.live import Live


@dataclass(frozen=True, slots=True)
class Part:
    """A permission of ``roles.MAY``, and what somebody did by it in words; no words where a report names nobody."""

    permission: str
    words: str = ""


IMPORTED = Part(plant_data.Body.PERMISSION, "imported answers")
TAKING_PART = tuple(kind for kind, body in KINDS.items() if body.TAKES_PART)
"""Kinds of events of which somebody who signs must have done none for the system."""


def part_of(event: Event) -> Part | None:
    """What an event is as a part in an assessment; None where it is none."""
    if event.kind not in TAKING_PART:
        return None
    kind = KINDS[event.kind]
    if kind is answer.Body and not same(answer.Body.read(event).by, event.by):
        return IMPORTED
    return Part(kind.PERMISSION, kind.DID)


def roles_for(parts: Iterable[Part]) -> list[str]:
    """Roles that deeds take together. Where several would do and another deed shows one of them, no further is named.

    >>> roles_for([Part("answer a question"), Part("record evidence")]), roles_for([Part("record evidence")])
    (['team member'], ['facilitator or team member'])
    """
    needed = {MAY[part.permission]: None for part in parts}
    certain = {roles[0]: None for roles in needed if len(roles) == 1}
    return [*certain, *(" or ".join(roles) for roles in needed if certain.keys().isdisjoint(roles))]


def took_part(live: Live, revision: Revision, fixed: Mapping[str, Any]) -> dict[str, str]:
    """Everybody who had a hand in this revision: by plain name, and by identity where they signed in, the name as written.

    What was recorded after the revision counts too, such as who attended.
    """
    answers = fixed["facts"]["plant"].get("answers", [])
    answered = {given["of"] for given in answers}
    records = live.state().records
    earlier = [held for held in records.revisions[revision.system] if held.number < revision.number]
    after = max((held.cause.seq for held in earlier if records.complete(held)), default=0)
    names = [given.get("by", "") for given in answers]
    names += [attendee["name"] for attendee in fixed["attended"]] + [dissent["who"] for dissent in fixed["dissents"]]
    identities: dict[str, str] = {}
    for event in live.store.events(live.key, after=after, kinds=TAKING_PART):
        body = KINDS[event.kind].read(event)
        if body.concerns(revision.system, answered):
            names += [event.by, *body.names()]
            if event.identity != DECLARED:
                identities[event.identity] = event.by
    return identities | {plain(name): name for name in names if name.strip()}
