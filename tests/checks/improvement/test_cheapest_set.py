"""The cheapest set against the real calculation of every subset, on small random plants."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checks.assessment.assessment import Assessment
from checks.assessment.verdicts import Case
from checks.improvement.model import Model, model
from checks.improvement.plan import of_model
from checks.plantfile.plant import Plant
from tests.checks.improvement.small_plants import best_by_trying_all, meets, plants

CASES = st.sampled_from(["scored", "adjusted"])
SEVERAL = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
EFFORTS = st.sampled_from([0.5, 1.0, 1.0, 2.0, 3.0])


def _with_targets(plant: Plant, built: Model, draw: st.DataObject) -> Plant:
    """The plant with targets near what some set of actions reaches: exactly that, a little easier, or a little harder."""
    count = len(built.actions)
    chosen = np.array([draw.draw(st.lists(st.booleans(), min_size=count, max_size=count))], dtype=bool).reshape(
        1, count
    )
    reached = built.problem.results(chosen)[:, 0]
    functions = dict(plant.functions)
    for name, value in zip(built.functions, reached.tolist(), strict=True):
        limit = value * draw.draw(st.sampled_from([1.0, 1.0 + 1e-6, 1.001, 1.2, 0.999]))
        if functions[name].demand == "low" and 1.0 < 1.0 / limit < 1e6:
            functions[name] = functions[name].model_copy(update={"target_rrf": 1.0 / limit})
        elif functions[name].demand == "high":
            functions[name] = functions[name].model_copy(update={"target_pfh": limit})
    return plant.model_copy(update={"functions": functions})


def _drawn(plant: Plant, case: Case, draw: st.DataObject) -> Model:
    names = tuple(draw.draw(st.lists(st.sampled_from(["F1", "F2", "F3"]), min_size=1, unique=True)))
    built = model(Assessment(plant), names, case, efforts={})
    efforts = {asked: draw.draw(EFFORTS) for asked in built.actions}
    return model(Assessment(_with_targets(plant, built, draw)), names, case, efforts=efforts)


@SEVERAL
@given(plants(), CASES, st.data())
def test_the_set_found_is_the_best_of_all_subsets(plant: Plant, case: Case, data: st.DataObject) -> None:
    built = _drawn(plant, case, data)
    found = of_model(built)
    efforts = dict(zip(built.actions, built.problem.efforts, strict=True))
    best = best_by_trying_all(built.assessment, built.functions, case, efforts, built.actions)
    assert found.proven
    assert (found.actions if found.feasible else None) == best
    if best is not None:
        assert meets(built.assessment, built.functions, case, best)


@SEVERAL
@given(plants(), CASES, st.data())
def test_the_tables_give_what_the_assessment_gives(plant: Plant, case: Case, data: st.DataObject) -> None:
    built = model(Assessment(plant), ("F1", "F2", "F3"), case, efforts={})
    count = len(built.actions)
    chosen = np.array([data.draw(st.lists(st.booleans(), min_size=count, max_size=count))], dtype=bool).reshape(
        1, count
    )
    after = built.improved(frozenset(np.flatnonzero(chosen[0]).tolist()))
    expected = [getattr(after.function(name).cases, case) for name in built.functions]
    assert built.problem.results(chosen)[:, 0].tolist() == pytest.approx(expected, rel=1e-9)


@SEVERAL
@given(plants(), CASES, st.sampled_from([0.25, 3.0, 1000.0]), st.data())
def test_efforts_in_another_unit_leave_the_set_as_it_is(
    plant: Plant, case: Case, unit: float, data: st.DataObject
) -> None:
    built = _drawn(plant, case, data)
    scaled = replace(
        built, problem=replace(built.problem, efforts=tuple(each * unit for each in built.problem.efforts))
    )
    first, second = of_model(built), of_model(scaled)
    assert first.chosen == second.chosen
    if first.effort is not None:
        assert second.effort == pytest.approx(first.effort * unit)


@SEVERAL
@given(plants(), CASES, st.data())
def test_more_effort_for_an_action_never_makes_the_set_cheaper(plant: Plant, case: Case, data: st.DataObject) -> None:
    built = _drawn(plant, case, data)
    if not built.actions:
        return
    at = data.draw(st.sampled_from(range(len(built.actions))))
    dearer = list(built.problem.efforts)
    dearer[at] += data.draw(EFFORTS)
    before, after = of_model(built), of_model(replace(built, problem=replace(built.problem, efforts=tuple(dearer))))
    assert before.feasible == after.feasible
    if before.effort is not None and after.effort is not None:
        assert before.effort <= after.effort + 1e-9
