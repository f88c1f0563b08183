"""What a person gets to see of a state: everything their roles need, and nothing else.

A screen never holds what its reader may not see. Results stay; answers, evidence, gaps and names are taken out where
no role of the reader covers them, or covers them only at the systems of their own team. Of the gaps their number is
left to those who may see it everywhere.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, TypeVar

from checks.answers import Answers
from checks.assess import Assessment
from checks.live import State
from checks.record import teams
from checks.record.actions import Action
from checks.record.held import Asked, Records
from checks.record.people import Person
from checks.results import Gap

ANSWERS, GAPS, EVIDENCE, NAMES = (
    "see the common-cause answers",
    "see gap detail",
    "see evidence",
    "see who dissented",
)
COUNTS = "see gap counts"
ASKED = ("evidence", "dissents", "private", "to_confirm", "anew", "confirmed")
"""Records that stand beside an answer."""
HIDDEN = Gap(question="", is_topic=True, fr=(), requirements=(), value="", weight=0, action="")
"""Stands for a gap of which only the number is told."""

Kept = TypeVar("Kept")


def sees_all(person: Person) -> bool:
    """Whether the roles of a person cover everything at every system."""
    return all(person.may_everywhere(deed) for deed in (ANSWERS, GAPS, EVIDENCE, NAMES))


def seen(now: State, person: Person) -> State:
    """The state as a person may see it; the same one where their roles cover everything."""
    if sees_all(person):
        return now
    if all(person.may_everywhere(deed) for deed in (ANSWERS, GAPS, EVIDENCE)):
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

    Somebody who answers sees what it does to results beyond, so the answers of others go on counting inside.
    """
    groups = {
        key: one if f"group:{key}" in within else replace(one, held={})
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
    answers = full.answers if within else Answers()
    return Assessment(full.plant, answers, links=full.links, known=(groups, functions, zones))


def _records(full: Records, within: frozenset[str], systems: frozenset[str]) -> Records:
    """Records of some systems and their addressees."""
    hidden: dict[str, Any] = {name: _of(within, getattr(full, name)) for name in ASKED}
    hidden |= {
        name: {key: one for key, one in getattr(full, name).items() if key in systems}
        for name in ("revisions", "attended", "rounds", "intervals")
    }
    hidden["accepted"] = {key: one for key, one in full.accepted.items() if key[0] in systems}
    hidden["changes"] = tuple(one for one in full.changes if systems.intersection(one.systems))
    hidden["failures"] = tuple(one for one in full.failures if systems.intersection(one[0]["systems"]))
    hidden["actions"] = {
        key: one
        for key, one in full.actions.items()
        if systems and within.issuperset(Action.model_validate(one[0]).addressees)
    }
    return replace(full, **hidden)


def _nameless(full: Records) -> Records:
    """The records without who dissented."""
    dissents = {
        asked: tuple(replace(one, who="", cause=replace(one.cause, by="")) for one in several)
        for asked, several in full.dissents.items()
    }
    return replace(full, dissents=dissents)
