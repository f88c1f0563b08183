"""Independence of signers: who did what for a system, as the journal has it, and the reason against a signer.

House rule: a signer had no part in what a revision rests on, however old. An answer that was given again before the last
complete sign-off is not rested on any more; everything else counts for ever. A name that a file claims for an answer bars
nobody: the person who imported it took part.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from checks.access.names import comparable, same
from checks.access.roles import MAY, Person
from checks.events.answering import answer, answer_taken_back
from checks.events.kinds import KINDS
from checks.events.plant import attendance, attendance_corrected, plant_data
from checks.journal.event import DECLARED, Event
from checks.journal.event_body import EventBody
from checks.plantfile.plant import Asked
from checks.revision import basis
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


UNKNOWN = frozenset({"", DECLARED})
"""Identities that tell nobody apart: of a person who is named only, and of one without a sign-in."""


@dataclass(frozen=True, slots=True)
class Deed:
    """What a person did for a system: in words, on which day (ISO), in which event. ``identity`` is empty for one named only."""

    name: str
    identity: str
    did: str
    day: str
    system: str
    seq: int

    def is_of(self, person: Person, names: frozenset[str]) -> bool:
        """Whether it is this person's: by sign-in where both are signed in, else by one of their plain ``names``."""
        if UNKNOWN.isdisjoint({self.identity, person.identity}):
            return self.identity == person.identity
        return comparable(self.name) in names


def deeds(live: Live, revision: Revision) -> list[Deed]:
    """All that people did for what a revision rests on, in the order of the journal; events after the revision count too."""
    system, state = revision.system, live.state()
    addressees = basis.scope(state.plant, state.assessment.links, system).addressees
    records = state.records
    complete = [other.cause.seq for other in records.revisions[system] if records.complete(other)]
    since = max((number for number in complete if number < revision.cause.seq), default=0)
    events = [(event, KINDS[event.kind].read(event)) for event in live.store.events(live.key, kinds=TAKING_PART)]
    replaced = _replaced(events, signed=since, fixed=revision.cause.seq)
    corrected = _corrected(events, system)
    return [
        deed
        for event, body in events
        if event.seq not in replaced and body.concerns(system, addressees)
        for deed in _deeds_of(event, body, system)
        if not (
            isinstance(body, attendance.Body) and (body.on, comparable(deed.name)) in corrected and not deed.identity
        )
    ]


def _deeds_of(event: Event, body: EventBody, system: str) -> Iterator[Deed]:
    """The deed of the author of an event, and those of the people it names."""
    part = part_of(event)
    did = (part.words if part else "") or body.DID or body.NAMED_DID
    if event.by.strip():
        yield Deed(event.by, event.identity, did, event.at[:10], system, event.seq)
    claimed = isinstance(body, answer.Body | answer_taken_back.Body)
    for name in () if claimed else body.names():
        if name.strip() and not same(name, event.by):
            yield Deed(name, "", body.NAMED_DID or body.DID, event.at[:10], system, event.seq)
    if claimed and event.by.strip() == "":
        yield from (Deed(name, "", did, event.at[:10], system, event.seq) for name in body.names() if name.strip())


def _replaced(events: Iterable[tuple[Event, EventBody]], *, signed: int, fixed: int) -> set[int]:
    """Answers from before the last complete sign-off that no longer stood when the revision was fixed."""
    latest: dict[Asked, int] = {}
    old = set()
    for event, body in events:
        if isinstance(body, answer.Body) and event.seq <= fixed:
            latest[body.asked] = event.seq
            if event.seq <= signed:
                old.add(event.seq)
    return old - set(latest.values())


def _corrected(events: Iterable[tuple[Event, EventBody]], system: str) -> set[tuple[str, str]]:
    """Day and name of each attendance of a system that was corrected."""
    return {
        (body.on, comparable(body.name))
        for _, body in events
        if isinstance(body, attendance_corrected.Body) and body.system == system
    }


def took_part(found: Iterable[Deed]) -> dict[str, str]:
    """Everybody who took part: name as written by plain name, and by identity of those who signed in."""
    names = {comparable(deed.name): deed.name for deed in found}
    return {deed.identity: deed.name for deed in found if deed.identity not in ("", DECLARED)} | names


def names_of(person: Person, linked: Iterable[tuple[str, str]]) -> frozenset[str]:
    """The plain names of a person: the present one, and those that the asset owner linked to it, directly or in turn."""
    names = {comparable(person.name)} - {""}
    pairs = [(comparable(name), comparable(earlier)) for name, earlier in linked]
    while more := {other for pair in pairs if not names.isdisjoint(pair) for other in pair} - names:
        names |= more
    return frozenset(names)


MOST_NAMED = 3
"""Deeds that a refusal names; of more it says how many."""


def against(found: Iterable[Deed], person: Person, linked: Iterable[tuple[str, str]] = ()) -> list[str]:
    """The reason against a signer who took part, with deed, day and system; none for one who did not.

    ``linked`` are pairs of names of one person.
    """
    names = names_of(person, linked)
    own: dict[tuple[str, str], Deed] = {}
    for deed in found:
        if deed.is_of(person, names):
            own.setdefault((deed.did, deed.day), deed)
    if not own:
        return []
    told = [f"{deed.did} on {deed.day}" for deed in list(own.values())[:MOST_NAMED]]
    more = f" and {len(own) - MOST_NAMED} more" if len(own) > MOST_NAMED else ""
    system = next(iter(own.values())).system
    return [f"{person.name} took part in {system}: {', '.join(told)}{more}; a signer must be independent of the work"]
