"""Times of the large plant in the store: import, opening, a full pass, one answer and its results."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from time import perf_counter

from checks.access.roles import MEMBER, Person
from checks.assessment.assessment import Assessment
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.recording import answering
from checks.state.live import Live
from tests.bench.figures import Line, once
from tests.checks.journal.stored import import_plant

BENCH = Person("bench", frozenset({MEMBER}), writer="bench")
Affected = Callable[[Assessment], object]


def _pass(assessment: Assessment) -> None:
    assessment.functions()
    for key in assessment.plant.zones:
        assessment.zone(key)


def _answers(live: Live, question: str, of: str, affected: Affected, times: int) -> tuple[list[float], list[float]]:
    """Times of saving a changed answer, and of the new state with the affected results."""
    saved, followed = [], []
    for number in range(times):
        stored_answer = live.state().stored.get((question, of))
        fields = {"question": question, "of": of, "value": ("met", "not-met")[number % 2]}
        begun = perf_counter()
        answering.record(live, BENCH, fields, seen=stored_answer.id if stored_answer else 0)
        stored = perf_counter()
        affected(live.state().assessment)
        saved.append(stored - begun)
        followed.append(perf_counter() - stored)
    return saved, followed


def measure(plant: Plant, url: str) -> list[Line]:
    """Import the plant into an empty store and work on it; the store at ``url`` stays for the browser."""
    store = Store(url)
    key, imported = once(lambda: import_plant(store, plant, by="bench", writer="bench"))
    live = Live(store, key)
    state, opened = once(live.state)
    _, full = once(lambda: _pass(state.assessment))
    _, repeated = once(lambda: _pass(live.state().assessment))
    zone = "Z01"
    group = state.assessment.links.groups_in[zone][1]
    uses = state.assessment.links.uses[group]

    def of_group(assessment: Assessment) -> object:
        return assessment.group(group), [assessment.function(name) for name in uses]

    def of_zone(assessment: Assessment) -> object:
        return assessment.zone(zone), assessment.worst_by_exposure(assessment.links.groups_in[zone])

    saved, by_group = _answers(live, "DIV3", f"group:{group}", of_group, 200)
    _, by_zone = _answers(live, "A01", f"zone:{zone}", of_zone, 30)
    _, by_plant = _answers(live, "ASM3", "plant", _pass, 3)
    store.engine.dispose()
    lines = [
        Line("import the plant with its answers", [imported]),
        Line("open it: Live(...).state()", [opened]),
        Line("full pass, all functions and zones", [full]),
        Line("full pass again, nothing changed", [repeated]),
        Line("save one answer", saved),
        Line("new state and results, answer of a group", by_group),
        Line("new state and results, answer of a zone", by_zone),
        Line("new state and full pass, answer of the plant", by_plant),
    ]
    return [replace(line, what=f"large plant, store: {line.what}") for line in lines]
