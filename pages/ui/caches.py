"""The store and the results computed from it, shared by all browsers. No other module uses Streamlit's caches."""

from __future__ import annotations

import gc
import sys
import threading
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, TypeVar

import streamlit as st

from checks.access.roles import Person
from checks.analysis import beside_result, uncertainty
from checks.analysis.beside_result import Beside
from checks.analysis.computed_later import Later
from checks.analysis.second_opinion import SecondOpinion, second_opinion
from checks.analysis.uncertainty import Uncertainty
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import remarks
from checks.assessment.results import FunctionResult
from checks.assessment.verdicts import Case
from checks.comparison import comparison, lessons
from checks.comparison.comparison import Comparison, Point, compare
from checks.comparison.lessons import Claim, Effect, Lessons
from checks.improvement import advice
from checks.improvement.advice import Advice
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.reach import footholds
from checks.reach.footholds import Foothold
from checks.record_files import verification
from checks.recording import plants
from checks.recording.plants import ListedPlant
from checks.revision import basis
from checks.signoff import revisions
from checks.state.live import Live, State
from checks.state.revision_status import Revision
from checks.variants import variant as variants
from checks.variants.variant import Outcome, Variant, outcome
from checks.visibility import redaction
from pages.ui import state

Result = TypeVar("Result")
_warming = threading.Event()
_later = Later(1_000)
AWAITED = "awaited"
FIRST = 30
"""Functions whose uncertainty is computed before the first browser connects, the worst first."""


@st.cache_resource(show_spinner="Opening the store …")
def store() -> Store:
    """The store."""
    return Store()


@st.cache_resource(show_spinner=False)
def live(plant: int) -> Live:
    """The follower of one plant."""
    return Live(store(), plant)


def listed() -> list[ListedPlant]:
    """Plants in the store, archived ones too."""
    return plants.listed(store())


@st.cache_resource(max_entries=8, show_spinner="Computing the plant …")
def _settled(at: str, _state: State) -> list[str]:
    """Compute a plant once per change of its data and return the remarks on it."""
    _state.assessment.functions()
    _freeze()
    return remarks(_state.plant)


def _freeze() -> None:
    """Take what exists out of garbage collection, until it is freed by other means.

    Streamlit collects garbage after every script run, which with a large plant, or with the modules of scipy, would take longer
    than the run.
    """
    gc.collect()
    gc.freeze()


@st.cache_resource(max_entries=1, show_spinner=False)
def _loaded(modules: int) -> None:
    """Freeze once for each number of modules: scipy and networkx are imported where they are first used."""
    _freeze()


def _data(follower: Live, current: State) -> str:
    """Cache key of what depends on plant data alone."""
    return f"{follower.store.engine.url} {follower.key} {current.version.data}"


def _moment(follower: Live, current: State) -> str:
    """Cache key of what results depend on: database, plant, latest events, and the day, as evidence expires.

    One text, because Streamlit hashes it much faster than its parts.
    """
    return f"{follower.store.engine.url} {follower.key} {current.version} {current.day}"


def _rights(person: Person) -> str:
    """Cache key of the rights of a person, as one text."""
    roles, systems = person.rights
    return f"{sorted(roles)} {None if systems is None else sorted(systems)}"


@st.cache_resource(max_entries=16, show_spinner=False)
def _by_rights(at: str, rights: str, _state: State, _person: Person) -> State:
    """The state as people with these rights may see it. It is shared by them all, so it holds nothing private to one."""
    return redaction.by_rights(_state, _person)


def _seen(follower: Live, current: State, person: Person) -> State:
    if redaction.sees_all(current, person):
        return current
    shared = _by_rights(_moment(follower, current), _rights(person), current, person)
    return redaction.with_own(shared, current, person)


class NoPlant(LookupError):
    """The store has no plant but archived ones."""


def _of_address() -> ListedPlant:
    """The plant of the address, else the last one shown here or the one to land on, which the address then gets.

    An address of an earlier release has its number alone. Raises Gone and NoPlant.
    """
    asked, known = state.at("plant"), listed()
    by_address = {str(plant.key): plant for plant in known} | {plant.address: plant for plant in known}
    if asked is not None and asked not in by_address:
        raise state.Gone("plant", asked)
    last: ListedPlant | None = state.get("plant shown")
    plant = by_address.get(asked or (last.address if last else "")) or plants.landing(known)
    if plant is None:
        raise NoPlant
    state.put("plant shown", plant)
    if asked != plant.address:
        state.move(plant=plant.address)
    return plant


def present(person: Person) -> tuple[ListedPlant, Live, State]:
    """The plant of the address, and its present state as far as this person may see it. Raises Gone and NoPlant."""
    plant = _of_address()
    follower = live(plant.key)
    current = follower.state()
    _settled(_data(follower, current), current)
    _loaded(len(sys.modules))
    return plant, follower, _seen(follower, current, person)


def remarks_on(follower: Live, current: State) -> list[str]:
    """Cautions about the data of this plant."""
    return _settled(_data(follower, current), current)


def warm() -> None:
    """Compute the results of the first screen before the first browser connects, and then the bands of its functions."""
    _warming.set()
    try:
        present = [
            (follower, follower.state()) for plant in listed() if not plant.archived for follower in [live(plant.key)]
        ]
        for follower, current in present:
            _settled(_data(follower, current), current)
        for follower, current in present:
            for function in current.assessment.functions()[:FIRST]:
                uncertain(follower, current, function.id)
                _later.ask(*_beside(follower, current, function.id))
            _later.ask(*_learned(follower, current))
    finally:
        _warming.clear()


def warming() -> bool:
    """Whether the bands of the first screen are being computed: it is drawn without them meanwhile, and once more then."""
    return _warming.is_set()


@st.cache_resource(max_entries=64, show_spinner=False)
def _second(at: str, function: str, _assessment: Assessment) -> SecondOpinion | None:
    return second_opinion(_assessment, function)


def second(follower: Live, current: State, function: str) -> SecondOpinion | None:
    """A function by the second method; results of functions are the same for all who see them."""
    return _second(_moment(follower, current), function, current.assessment)


@st.cache_resource(max_entries=512, show_spinner=False)
def _uncertain(at: str, function: str, _assessment: Assessment) -> Uncertainty | None:
    return uncertainty.of_function(_assessment, function)


def uncertain(follower: Live, current: State, function: str) -> Uncertainty | None:
    """Uncertainty of a function until something is stored; it follows from results alone, which all may see."""
    return _uncertain(_moment(follower, current), function, current.assessment)


def _assessed_whole(system: str, label: str, follower: Live, current: State) -> Assessment:
    """A system at a revision or ``now``, with all answers: for what follows from results alone."""
    if label == "now":
        return basis.assessment_of(basis.facts(current.assessment, system))
    revision = next(each for each in current.records.revisions[system] if str(each.number) == label)
    return basis.revision_assessment(revisions.fixed_body(follower, revision))


@st.cache_resource(max_entries=8, show_spinner=False)
def _uncertain_then(at: str, system: str, label: str, _live: Live, _current: State) -> dict[str, Uncertainty]:
    assessed = _assessed_whole(system, label, _live, _current)
    if not assessed.reproduced:
        return {}
    found = {name: uncertainty.of_function(assessed, name) for name in assessed.plant.systems[system].functions}
    return {name: band for name, band in found.items() if band is not None}


def _awaited(key: str, compute: Callable[[], Result]) -> Future[Result]:
    """A result that is computed later; while it is not there, this screen waits for it to be drawn again."""
    future = _later.ask(key, compute)
    if not future.done():
        state.get(AWAITED, []).append(future)
    return future


def awaited() -> list[Future[Any]]:
    """Begin a run of a screen: what it will be drawn without, since it is still being computed."""
    waits: list[Future[Any]] = []
    state.put(AWAITED, waits)
    return waits


def beside(follower: Live, current: State, functions: Sequence[str]) -> dict[str, Beside]:
    """What the second method says of functions, by id: those that are computed. None while the program starts."""
    if warming():
        return {}
    found = {function: _awaited(*_beside(follower, current, function)) for function in functions}
    return {function: future.result() for function, future in found.items() if future.done()}


def _beside(follower: Live, current: State, function: str) -> tuple[str, Callable[[], Beside]]:
    """Key and computation. An answer that leaves the results of a function as they are leaves this too."""
    result = current.assessment.function(function)
    betas = [group.betas for group in result.groups]
    key = f"{_data(follower, current)} {function} {result.cases} {betas}"
    return key, lambda: beside_result.of_function(current.assessment, function)


def variant_beside(follower: Live, current: State, function: str, variant: Variant) -> dict[str, Beside] | None:
    """What the second method says of a function in a variant, by its id; None while it is being computed."""
    key = f"{_moment(follower, current)} {function} {_cells(variant)}"
    future = _awaited(key, lambda: variants.beside(current.assessment, function, variant))
    return {function: future.result()} if future.done() else None


@dataclass(frozen=True, slots=True)
class Then:
    """The functions of a system at a revision or now, by id: results, bands, and what the second method says.

    Without ``bands`` and ``besides`` where this program computes other figures than the revision stores.
    """

    functions: dict[str, FunctionResult]
    bands: dict[str, Uncertainty]
    besides: dict[str, Beside]


def beside_then(follower: Live, current: State, system: str, label: str) -> Then | None:
    """A system at a revision, by number, or ``now``, with what stands beside its results; None while it is being computed."""

    def compute() -> Then:
        assessed = _assessed_whole(system, label, follower, current)
        functions = {name: assessed.function(name) for name in assessed.plant.systems[system].functions}
        besides = {name: beside_result.of_function(assessed, name) for name in functions if assessed.reproduced}
        return Then(functions, uncertain_then(follower, current, system, label), besides)

    future = _awaited(f"{_moment(follower, current)} {system} {label}", compute)
    return future.result() if future.done() else None


def bands(follower: Live, current: State, functions: Sequence[str]) -> dict[str, Uncertainty]:
    """Uncertainty of functions by id, of those that have an uncertain input; none while the program starts."""
    if warming():
        return {}
    found = {function: uncertain(follower, current, function) for function in functions}
    return {function: band for function, band in found.items() if band is not None}


def uncertain_then(follower: Live, current: State, system: str, label: str) -> dict[str, Uncertainty]:
    """Uncertainty of the functions of a system at a revision, by number, or ``now``; none where this program computes other figures."""
    return _uncertain_then(_moment(follower, current), system, label, follower, current)


@st.cache_resource(max_entries=64, show_spinner=False)
def _foothold(at: str, foothold: str, _plant: Plant) -> Foothold:
    return footholds.from_foothold(_plant, foothold)


def from_foothold(follower: Live, current: State, foothold: str) -> Foothold:
    """What a compromise reaches from a foothold: it follows from the plant data alone, which all who see it see alike."""
    return _foothold(_data(follower, current), foothold, current.plant)


@st.cache_resource(max_entries=64, show_spinner=False)
def _outcome(at: str, function: str, cells: str, _assessment: Assessment, _variant: Variant) -> Outcome:
    return outcome(_assessment, function, _variant)


def _cells(variant: Variant) -> str:
    return str({group: dict(row) for group, row in variant.cells.items()})


def variant_outcome(follower: Live, current: State, function: str, variant: Variant) -> Outcome:
    """A function in a variant, calculated once for the same cells until something is stored."""
    found = _outcome(_moment(follower, current), function, _cells(variant), current.assessment, variant)
    return replace(found, variant=variant)


@st.cache_resource(max_entries=32, show_spinner="Looking for the cheapest set …")
def _advice(at: str, rights: str, functions: tuple[str, ...], case: Case, _current: State) -> Advice:
    return advice.of_functions(_current, functions, case)


def advised(follower: Live, current: State, functions: tuple[str, ...], case: Case) -> Advice:
    """What to fix first for some functions, as far as the reader sees the answers."""
    return _advice(_moment(follower, current), _rights(state.person()), functions, case, current)


@st.cache_resource(max_entries=8, show_spinner="Comparing …")
def _compared(at: str, rights: str, system: str, old: str, new: str, _live: Live, _current: State) -> Comparison:
    before, after = (_assessed(_live, _current, system, label) for label in (old, new))
    return compare(before, after, functions=_functions_of(system, before, after))


def compared(follower: Live, current: State, system: str, old: str, new: str) -> Comparison:
    """Two revisions of a system compared, by number; ``new`` may be ``now``."""
    return _compared(_moment(follower, current), _rights(state.person()), system, old, new, follower, current)


@st.cache_resource(max_entries=8, show_spinner=False)
def _trend(at: str, system: str, _live: Live, _current: State) -> tuple[Point, ...]:
    labels = [*(str(revision.number) for revision in _current.records.revisions[system]), "now"]
    assessments = {label: _assessed(_live, _current, system, label) for label in labels}
    return comparison.trend(assessments, functions=_functions_of(system, *assessments.values()))


@st.cache_resource(max_entries=256, show_spinner=False)
def _effects(
    at: str, _system: str, _pair: tuple[Revision, Revision], _live: Live, _current: State
) -> tuple[Effect, ...]:
    old, new = (_assessed(_live, _current, _system, str(revision.number)) for revision in _pair)
    return lessons.effects(_system, (_pair[0].number, _pair[1].number), old, new)


def learned(follower: Live, current: State) -> Lessons | None:
    """What the revisions of the systems teach that the reader sees; None while it is being computed."""
    future = _awaited(*_learned(follower, current))
    return future.result() if future.done() else None


def _learned(follower: Live, current: State) -> tuple[str, Callable[[], Lessons]]:
    """Key and computation; what a pair of revisions teaches is computed once. Their hashes stand for all they hold."""
    where = str(current.within and sorted(current.within))
    pairs = {system: list(pairwise(current.records.revisions.get(system, ()))) for system in current.systems}

    def compute() -> Lessons:
        claims: list[Claim] = []
        for system, (first, later) in ((system, listed[0]) for system, listed in pairs.items() if listed):
            two = [_assessed(follower, current, system, str(revision.number)) for revision in (first, later)]
            claims += lessons.claims(system, (first.number, later.number), *two)
        effects = [
            effect
            for system, listed in pairs.items()
            for pair in listed
            for effect in _effects(f"{where} {pair[0].hash} {pair[1].hash}", system, pair, follower, current)
        ]
        return Lessons(tuple(claims), tuple(effects))

    hashes = [revision.hash for listed in pairs.values() for pair in listed for revision in pair]
    return f"{where} {hashes}", compute


def trend(follower: Live, current: State, system: str) -> tuple[Point, ...]:
    """Results of a system over its revisions and now."""
    return _trend(_moment(follower, current), system, follower, current)


def _assessed(follower: Live, current: State, system: str, label: str) -> Assessment:
    """The same as far as the reader sees it; ``current`` is already cut to that."""
    whole = _assessed_whole(system, label, follower, current)
    return whole if label == "now" else redaction.fixed(whole, current.within)


@st.cache_resource(max_entries=64, show_spinner=False)
def _figures(key: tuple[str, int, str, int], _follower: Live, _revision: Revision) -> tuple[str, ...]:
    return tuple(verification.figures(revisions.fixed_body(_follower, _revision)))


def figures(follower: Live, revision: Revision) -> tuple[str, ...]:
    """Lines on whether the stored results of a revision follow from its facts; raises Tampered."""
    key = (str(follower.store.engine.url), follower.key, revision.system, revision.number)
    return _figures(key, follower, revision)


def _functions_of(system: str, *assessments: Assessment) -> list[str]:
    names = (name for assessment in assessments for name in assessment.plant.systems[system].functions)
    return list(dict.fromkeys(names))
