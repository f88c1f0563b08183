"""What a person gets to see of a state: everything their roles need, and nothing else.

A screen never holds what its reader may not see. Results stay; answers, evidence, gaps and names are taken out where
no role of the reader covers them. Of the gaps their number is left.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from checks.answers import Answers
from checks.assess import Assessment
from checks.live import State
from checks.record.held import Records
from checks.record.people import Person
from checks.results import Gap

ANSWERS, GAPS, EVIDENCE, NAMES = (
    "see the common-cause answers",
    "see gap detail",
    "see evidence",
    "see who dissented",
)
HIDDEN = Gap(question="", is_topic=True, fr=(), requirements=(), value="", weight=0, action="")
"""Stands for a gap of which only the number is told."""


def sees_all(person: Person) -> bool:
    """Whether the roles of a person cover everything."""
    return all(person.may(deed) for deed in (ANSWERS, GAPS, EVIDENCE, NAMES))


def seen(now: State, person: Person) -> State:
    """The state as a person may see it; the same one where their roles cover everything."""
    if sees_all(person):
        return now
    records = _records(now.records, person)
    if person.may(ANSWERS) and person.may(GAPS) and person.may(EVIDENCE):
        return replace(now, records=records)
    return replace(now, assessment=_veiled(now.assessment), stored={}, replaced={}, records=records)


def _veiled(full: Assessment) -> Assessment:
    """The results of an assessment without the answers behind them."""
    groups = {key: replace(full.group(key), held={}) for key in full.plant.groups}
    functions = {
        key: replace(one, groups=tuple(groups[held.id] for held in one.groups))
        for key in full.plant.functions
        for one in (full.function(key),)
    }
    zones = {
        key: replace(one, held={}, gaps=(HIDDEN,) * len(one.gaps))
        for key in full.plant.zones
        for one in (full.zone(key),)
    }
    return Assessment(full.plant, Answers(), links=full.links, known=(groups, functions, zones))


def _records(full: Records, person: Person) -> Records:
    hidden: dict[str, Any] = {}
    if not person.may(EVIDENCE):
        hidden |= {name: {} for name in ("evidence", "dissents", "private", "accepted", "attended", "actions")}
        hidden |= {"failures": (), "changes": ()}
    elif not person.may(NAMES):
        hidden["dissents"] = {
            asked: tuple(replace(one, who="", cause=replace(one.cause, by="")) for one in several)
            for asked, several in full.dissents.items()
        }
    return replace(full, **hidden)
