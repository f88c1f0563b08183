"""What a person gets to see of a state: everything their roles need, and nothing else.

A screen never holds what its reader may not see. Results stay; answers, evidence, gaps and names are taken out where
no role of the reader covers them, or covers them only at the systems of their own team. Of the gaps their number is
left to those who may see it everywhere. An answer of another system that speaks for a shared group is left with its
value alone. What a fresh start hides is taken out for whoever answers: see ``visibility.fresh_start``.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from checks.access.names import token
from checks.access.roles import Person
from checks.assessment.answers import Answers, ByQuestion
from checks.assessment.assessment import Assessment
from checks.assessment.results import HIDDEN
from checks.plantfile.plant import Answer, Asked
from checks.recording import teams
from checks.state.live import State
from checks.state.records import Records
from checks.visibility import fresh_start

ANSWERS, GAPS, EVIDENCE, NAMES = (
    "see the common-cause answers",
    "see gap detail",
    "see evidence",
    "see who dissented",
)
COUNTS = "see gap counts"
ASKED = ("evidence", "withdrawn", "dissents", "private", "to_confirm", "anew", "confirmed")
"""Records that stand beside an answer."""
ELSEWHERE = "kept by another team"
"""Stands for evidence and notes that the reader may not see; that there is some is no secret, for it counts."""

Kept = TypeVar("Kept")


def sees_all(now: State, person: Person) -> bool:
    """Whether a person sees everything: their roles cover it at every system, and nothing is hidden or kept private."""
    return _sees_names(person) and not fresh_start.hides(now, person) and not _waiting(now.records)


def sees_answers(person: Person) -> bool:
    """Whether the roles of a person cover every answer, gap and piece of evidence, though maybe not every name."""
    return all(person.may_everywhere(deed) for deed in (ANSWERS, GAPS, EVIDENCE))


def _sees_names(person: Person) -> bool:
    """Whether the roles of a person cover every answer, gap and piece of evidence, and who dissented."""
    return person.may_everywhere(NAMES) and sees_answers(person)


def seen(now: State, person: Person) -> State:
    """The state as a person may see it; the same one where they see everything."""
    return with_own(by_rights(now, person), now, person)


def with_own(alike: State, now: State, person: Person) -> State:
    """What everybody with a person's rights may see of a state, and what they answered privately themselves."""
    waiting = (one for several in now.records.private.values() for one in several if not one.revealed)
    whose = token(person.name, person.identity)
    own = {one.last: one for one in waiting if one.whose == whose}
    if not own:
        return alike
    held = alike.records.private
    private = {asked: tuple(own.get(one.last, one) for one in several) for asked, several in held.items()}
    return replace(alike, records=replace(alike.records, private=private))


def by_rights(now: State, person: Person) -> State:
    """The state as everybody with a person's rights may see it: of unrevealed private answers that they were given."""
    if fresh_start.hides(now, person):
        now = fresh_start.hidden(now)
    if _waiting(now.records):
        now = replace(now, records=_closed(now.records))
    if _sees_names(person):
        return now
    if sees_answers(person):
        return replace(now, records=_nameless(now.records))
    member = all(person.may(deed) for deed in (ANSWERS, GAPS, EVIDENCE))
    systems = frozenset(person.systems or ()) if member else frozenset[str]()
    within = teams.own(now.plant, now.assessment.links, systems)
    return replace(
        now,
        assessment=_veiled(now.assessment, within, counts=person.may_everywhere(COUNTS)),
        stored=_of(within, now.stored),
        replaced=_of(within, now.replaced),
        records=_nameless(_records(now.records, within, systems)),
        within=within,
    )


def _of(within: frozenset[str], held: Mapping[Asked, Kept]) -> dict[Asked, Kept]:
    return {asked: one for asked, one in held.items() if asked[1] in within}


def _veiled(full: Assessment, within: frozenset[str], *, counts: bool) -> Assessment:
    """The results of an assessment without the answers behind them, but for those of ``within``.

    Somebody who answers sees what it does to results beyond, so the answers of others go on counting inside, bare.
    """
    groups = {
        key: replace(one, held=_bare(one.held, within) if f"group:{key}" in within else {})
        for key in full.plant.groups
        for one in (full.group(key),)
    }
    functions = {
        key: replace(one, groups=tuple(groups[held.id] for held in one.groups))
        for key in full.plant.functions
        for one in (full.function(key),)
    }
    zones = {
        key: one if f"zone:{key}" in within else replace(one, held={}, gaps=(HIDDEN,) * len(one.gaps) if counts else ())
        for key in full.plant.zones
        for one in (full.zone(key),)
    }
    answers = Answers(bare(one, within) for one in full.answers) if within else Answers()
    return Assessment(full.plant, answers, links=full.links, editions=full.editions, known=(groups, functions, zones))


def fixed(held: Assessment, within: Collection[str] | None) -> Assessment:
    """The assessment of a revision as a reader may see it; ``within`` is that of the present state."""
    if within is None:
        return held
    return Assessment(
        held.plant, Answers(bare(one, within) for one in held.answers), links=held.links, editions=held.editions
    )


def bare(answer: Answer, within: Collection[str]) -> Answer:
    """An answer as a reader may see it: whole where it was given of ``within``, else its value alone."""
    if answer.of in within:
        return answer
    kept = {name: ELSEWHERE if getattr(answer, name).strip() else "" for name in ("evidence", "note")}
    return answer.model_copy(update={**kept, "by": "", "on": ""})


def _bare(held: ByQuestion, within: Collection[str]) -> dict[str, Answer]:
    return {name: bare(one, within) for name, one in held.items()}


def _records(full: Records, within: frozenset[str], systems: frozenset[str]) -> Records:
    """Records of some systems and their addressees."""
    hidden: dict[str, Any] = {name: _of(within, getattr(full, name)) for name in ASKED}
    hidden |= {
        name: {key: one for key, one in getattr(full, name).items() if key in systems}
        for name in ("revisions", "attended", "rounds", "intervals")
    }
    hidden["accepted"] = {key: one for key, one in full.accepted.items() if key[0] in systems}
    hidden["changes"] = tuple(one for one in full.changes if systems.intersection(one.systems))
    hidden["failures"] = tuple(one for one in full.failures if systems.intersection(one.body.systems))
    hidden["actions"] = {
        key: one for key, one in full.actions.items() if one[0].addressees and within.issuperset(one[0].addressees)
    }
    return replace(full, **hidden)


def _waiting(full: Records) -> bool:
    """Whether a private answer waits to be revealed."""
    return any(not one.revealed for several in full.private.values() for one in several)


def _closed(full: Records) -> Records:
    """The records without what was answered privately and is not revealed, and without who did."""
    private = {
        asked: tuple(one if one.revealed else replace(one, whose="", who="", value="", note="") for one in several)
        for asked, several in full.private.items()
    }
    return replace(full, private=private)


def _nameless(full: Records) -> Records:
    """The records without who dissented."""
    dissents = {
        asked: tuple(replace(one, who="", cause=replace(one.cause, by="")) for one in several)
        for asked, several in full.dissents.items()
    }
    return replace(full, dissents=dissents)
