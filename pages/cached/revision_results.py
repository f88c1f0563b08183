"""A system at a revision or now: its assessment, what stands beside its results, and whether they are those stored."""

from __future__ import annotations

import streamlit as st

from checks.analysis import beside_result, uncertainty
from checks.analysis.beside_result import Figures
from checks.analysis.uncertainty import Uncertainty
from checks.assessment.assessment import Assessment
from checks.record_files import verification
from checks.revision import basis
from checks.signoff import revisions
from checks.state.live import Live, State
from checks.state.revision_status import Revision
from checks.visibility import redaction
from pages.cached import database, later


def _assessed_whole(system: str, label: str, follower: Live, current: State) -> Assessment:
    """A system at a revision or ``now``, with all answers: for what follows from results alone."""
    if label == "now":
        return basis.assessment_of(basis.facts(current.assessment, system))
    revision = next(each for each in current.records.revisions[system] if str(each.number) == label)
    return basis.revision_assessment(revisions.fixed_body(follower, revision))


def assessed(follower: Live, current: State, system: str, label: str) -> Assessment:
    """A system at a revision, by number, or ``now``, as far as the reader sees it; ``current`` is already cut to that."""
    whole = _assessed_whole(system, label, follower, current)
    return whole if label == "now" else redaction.fixed(whole, current.within)


@st.cache_resource(max_entries=8, show_spinner=False)
def _uncertain_then(at: str, system: str, label: str, _live: Live, _current: State) -> dict[str, Uncertainty]:
    assessed = _assessed_whole(system, label, _live, _current)
    if not assessed.reproduced:
        return {}
    found = {name: uncertainty.of_function(assessed, name) for name in assessed.plant.systems[system].functions}
    return {name: band for name, band in found.items() if band is not None}


def uncertain_then(follower: Live, current: State, system: str, label: str) -> dict[str, Uncertainty]:
    """Uncertainty of the functions of a system at a revision, by number, or ``now``; none where this program computes other figures."""
    return _uncertain_then(database.moment(follower, current), system, label, follower, current)


def beside_then(follower: Live, current: State, system: str, label: str) -> Figures | None:
    """A system at a revision, by number, or ``now``, with what stands beside its results; None while it is being computed."""

    def compute() -> Figures:
        assessed = _assessed_whole(system, label, follower, current)
        functions = {name: assessed.function(name) for name in assessed.plant.systems[system].functions}
        besides = {name: beside_result.of_function(assessed, name) for name in functions if assessed.reproduced}
        return Figures(functions, uncertain_then(follower, current, system, label), besides)

    future = later.awaited(f"{database.moment(follower, current)} {system} {label}", compute)
    return future.result() if future.done() else None


@st.cache_resource(max_entries=64, show_spinner=False)
def _figures(key: tuple[str, int, str, int], _follower: Live, _revision: Revision) -> tuple[str, ...]:
    return tuple(verification.figures(revisions.fixed_body(_follower, _revision)))


def figures(follower: Live, revision: Revision) -> tuple[str, ...]:
    """Lines on whether the stored results of a revision follow from its facts; raises Tampered."""
    key = (str(follower.store.engine.url), follower.key, revision.system, revision.number)
    return _figures(key, follower, revision)
