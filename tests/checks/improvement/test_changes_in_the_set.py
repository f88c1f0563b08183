"""Allowed changes in the cheapest set, against the real calculation of every subset of answers and changes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checks.allowed_changes.change import GroupChange
from checks.assessment.assessment import Assessment
from checks.assessment.verdicts import Case
from checks.improvement.model import Efforts, Model, model
from checks.improvement.plan import of_model
from checks.plantfile.plant import Plant
from tests.checks.improvement.small_plants import allowed_changes, best_by_trying_all, entered, meets, plants

CASES = st.sampled_from(["scored", "adjusted"])
SEVERAL = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
ALL = ("F1", "F2", "F3")
MOST_TRIED = 9
"""Actions of which every subset is calculated."""


def _chosen(built: Model, data: st.DataObject) -> frozenset[int]:
    """A set of actions that can be taken together."""
    count = len(built.actions)
    drawn = data.draw(st.lists(st.sampled_from([True, True, False]), min_size=count, max_size=count))
    taken: dict[object, int] = {}
    for at, action in enumerate(built.actions):
        if drawn[at]:
            taken[action.place if isinstance(action, GroupChange) else action] = at
    chosen = frozenset(taken.values())
    if built.problem.possible(chosen):
        return chosen
    return frozenset(at for at in chosen if not isinstance(built.actions[at], GroupChange))


def _harder(plant: Plant, built: Model, data: st.DataObject) -> Plant:
    """The plant with targets near what some set reaches: exactly that, a little easier, or a little harder."""
    after = built.improved(_chosen(built, data))
    functions = dict(plant.functions)
    for name in built.functions:
        limit = getattr(after.function(name).cases, built.case) * data.draw(
            st.sampled_from([1.0, 1.0 + 1e-6, 1.001, 1.01, 0.999])
        )
        if functions[name].demand == "low" and 1.0 < 1.0 / limit < 1e6:
            functions[name] = functions[name].model_copy(update={"target_rrf": 1.0 / limit})
        elif functions[name].demand == "high" and limit < 1e-2:
            functions[name] = functions[name].model_copy(update={"target_pfh": limit})
    return plant.model_copy(update={"functions": functions})


@SEVERAL
@given(plants(), CASES, st.data())
def test_the_set_found_is_the_best_of_all_subsets_of_answers_and_changes(
    plant: Plant, case: Case, data: st.DataObject
) -> None:
    """Functions share groups, so that a change for one counts for another."""
    names = tuple(data.draw(st.lists(st.sampled_from(ALL), min_size=1, unique=True)))
    allowed: Efforts = data.draw(allowed_changes(plant))
    first = model(Assessment(plant), names, case, efforts=allowed)
    if len(first.actions) > MOST_TRIED:
        return
    assessment = Assessment(_harder(plant, first, data))
    built = model(assessment, names, case, efforts=allowed)
    found = of_model(built, seconds=60.0)
    efforts = dict(zip(built.actions, built.problem.efforts, strict=True))
    best = best_by_trying_all(assessment, names, case, efforts, built.actions)
    assert found.proven
    assert (found.actions if found.feasible else None) == best
    if best is not None:
        assert meets(assessment, names, case, best)
        assert list(found.after.values()) == [
            getattr(built.improved(found.chosen or frozenset()).function(name).cases, case) for name in names
        ]


@SEVERAL
@given(plants(), CASES, st.data())
def test_the_tables_give_what_the_plant_file_with_the_changes_gives(
    plant: Plant, case: Case, data: st.DataObject
) -> None:
    allowed: Efforts = data.draw(allowed_changes(plant))
    built = model(Assessment(plant), ALL, case, efforts=allowed)
    chosen = _chosen(built, data)
    taken = [built.actions[at] for at in chosen]
    changed = entered(plant, [each for each in taken if isinstance(each, GroupChange)])
    assert changed is not None
    after = Assessment(changed, built.improved(chosen).answers)
    expected = [getattr(after.function(name).cases, case) for name in ALL]
    assert built.problem.results(built.problem.mask(chosen))[:, 0].tolist() == pytest.approx(expected, rel=1e-9)


@SEVERAL
@given(plants(), CASES, st.data())
def test_changes_that_exclude_each_other_are_no_set(plant: Plant, case: Case, data: st.DataObject) -> None:
    allowed: Efforts = data.draw(allowed_changes(plant))
    built = model(Assessment(plant), ALL, case, efforts=allowed)
    drawn = data.draw(st.lists(st.booleans(), min_size=len(built.actions), max_size=len(built.actions)))
    chosen = frozenset(np.flatnonzero(np.array(drawn, dtype=bool)).tolist())
    changes = [each for at in chosen if isinstance(each := built.actions[at], GroupChange)]
    assert built.problem.possible(chosen) == (entered(plant, changes) is not None)
