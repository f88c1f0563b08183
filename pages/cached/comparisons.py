"""Revisions of systems compared with each other and with now, and what they teach."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import streamlit as st

from checks.access.roles import Person
from checks.assessment.assessment import Assessment
from checks.comparison import comparison, lessons
from checks.comparison.comparison import Comparison, Point, compare
from checks.comparison.lessons import Claim, Effect, Lessons
from checks.state.live import Live, State
from checks.state.revision_status import Revision
from pages.cached import database, later
from pages.cached.revision_results import assessed


@st.cache_resource(max_entries=8, show_spinner="Comparing …")
def _compared(at: str, rights: str, system: str, old: str, new: str, _live: Live, _current: State) -> Comparison:
    before, after = (assessed(_live, _current, system, label) for label in (old, new))
    return compare(before, after, functions=_functions_of(system, before, after))


def compared(follower: Live, current: State, person: Person, system: str, old: str, new: str) -> Comparison:
    """Two revisions of a system compared, by number, as far as the reader sees them; ``new`` may be ``now``."""
    at = database.moment(follower, current)
    return _compared(at, database.rights(person), system, old, new, follower, current)


@st.cache_resource(max_entries=8, show_spinner=False)
def _trend(at: str, system: str, _live: Live, _current: State) -> tuple[Point, ...]:
    labels = [*(str(revision.number) for revision in _current.records.revisions[system]), "now"]
    assessments = {label: assessed(_live, _current, system, label) for label in labels}
    return comparison.trend(assessments, functions=_functions_of(system, *assessments.values()))


def trend(follower: Live, current: State, system: str) -> tuple[Point, ...]:
    """Results of a system over its revisions and now."""
    return _trend(database.moment(follower, current), system, follower, current)


@st.cache_resource(max_entries=256, show_spinner=False)
def _effects(
    at: str, _system: str, _pair: tuple[Revision, Revision], _live: Live, _current: State
) -> tuple[Effect, ...]:
    old, new = (assessed(_live, _current, _system, str(revision.number)) for revision in _pair)
    return lessons.effects(_system, (_pair[0].number, _pair[1].number), old, new)


def learned(follower: Live, current: State) -> Lessons | None:
    """What the revisions of the systems teach that the reader sees; None while it is being computed."""
    future = later.awaited(*lessons_asked(follower, current))
    return future.result() if future.done() else None


def lessons_asked(follower: Live, current: State) -> tuple[str, Callable[[], Lessons]]:
    """Key and computation; what a pair of revisions teaches is computed once. Their hashes stand for all they hold."""
    where = str(current.within and sorted(current.within))
    pairs = {system: list(pairwise(current.records.revisions.get(system, ()))) for system in current.systems}

    def compute() -> Lessons:
        claims: list[Claim] = []
        for system, (first, last) in ((system, listed[0]) for system, listed in pairs.items() if listed):
            two = [assessed(follower, current, system, str(revision.number)) for revision in (first, last)]
            claims += lessons.claims(system, (first.number, last.number), *two)
        effects = [
            effect
            for system, listed in pairs.items()
            for pair in listed
            for effect in _effects(f"{where} {pair[0].hash} {pair[1].hash}", system, pair, follower, current)
        ]
        return Lessons(tuple(claims), tuple(effects))

    hashes = [revision.hash for listed in pairs.values() for pair in listed for revision in pair]
    return f"{where} {hashes}", compute


def _functions_of(system: str, *assessments: Assessment) -> list[str]:
    names = (name for assessment in assessments for name in assessment.plant.systems[system].functions)
    return list(dict.fromkeys(names))
