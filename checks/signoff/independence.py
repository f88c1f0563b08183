"""Independence of signers: which events count as taking part in an assessment, their permissions, and who recorded them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from checks.access.names import comparable, same
from checks.access.roles import MAY
from checks.events.answering import answer
from checks.events.kinds import KINDS
from checks.events.plant import plant_data
from checks.journal.event import DECLARED, Event
from checks.state.live import Live
from checks.state.revision_status import Revision


@dataclass(frozen=True, slots=True)
class Part:
    """A permission of ``roles.MAY`` and the activity in words; without words where a report names nobody."""

    permission: str
    words: str = ""


IMPORTED = Part(plant_data.Body.PERMISSION, "imported answers")
TAKING_PART = tuple(kind for kind, body in KINDS.items() if body.TAKES_PART)
"""Kinds of event that a signer must not have recorded for the system."""


def part_of(event: Event) -> Part | None:
    """The part that an event plays in an assessment; None where it plays none."""
    if event.kind not in TAKING_PART:
        return None
    kind = KINDS[event.kind]
    if kind is answer.Body and not same(answer.Body.read(event).by, event.by):
        return IMPORTED
    return Part(kind.PERMISSION, kind.DID)


def roles_for(parts: Iterable[Part]) -> list[str]:
    """Roles needed for these parts. A choice of roles is left out where another part already needs one of them.

    >>> roles_for([Part("answer a question"), Part("record evidence")]), roles_for([Part("record evidence")])
    (['team member'], ['facilitator or team member'])
    """
    needed = {MAY[part.permission]: None for part in parts}
    certain = {roles[0]: None for roles in needed if len(roles) == 1}
    return [*certain, *(" or ".join(roles) for roles in needed if certain.keys().isdisjoint(roles))]


def took_part(live: Live, revision: Revision, fixed: Mapping[str, Any]) -> dict[str, str]:
    """Everybody who took part in this revision: name as written by plain name, and by identity of those who signed in.

    Events after the revision count too, such as attendance.
    """
    answers = fixed["facts"]["plant"].get("answers", [])
    answered = {answer["of"] for answer in answers}
    records = live.state().records
    earlier = [other for other in records.revisions[revision.system] if other.number < revision.number]
    after = max((other.cause.seq for other in earlier if records.complete(other)), default=0)
    names = [answer.get("by", "") for answer in answers]
    names += [attendee["name"] for attendee in fixed["attended"]] + [dissent["who"] for dissent in fixed["dissents"]]
    identities: dict[str, str] = {}
    for event in live.store.events(live.key, after=after, kinds=TAKING_PART):
        body = KINDS[event.kind].read(event)
        if body.concerns(revision.system, answered):
            names += [event.by, *body.names()]
            if event.identity != DECLARED:
                identities[event.identity] = event.by
    return identities | {comparable(name): name for name in names if name.strip()}
