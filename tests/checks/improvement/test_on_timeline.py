"""Plants and groups on the timeline: the bound is below the result, and the cheapest set is the best of every subset."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checks.assessment.assessment import Assessment
from checks.assessment.verdicts import Case
from checks.improvement.model import Efforts, Model, model
from checks.improvement.plan import of_model
from checks.plantfile.plant import Plant
from tests.checks.improvement.small_plants import allowed_changes, best_by_trying_all, plants

FUNCTIONS = ("F1", "F2", "F3")
CASES = st.sampled_from(["scored", "adjusted"])
MOST_TRIED = 9
"""Actions of which every subset is calculated."""
SEVERAL = settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@st.composite
def on_timeline(draw: st.DrawFn) -> Plant:
    """A plant whose groups are all on the timeline, or some of them; some are tested in turn, or out of service in a test.

    Some on the timeline have a redundant element in their last channel.
    """
    raw = draw(plants()).model_dump(mode="json", exclude_defaults=True)
    whole = draw(st.booleans())
    raw["conventions"]["redundancy_method"] = "timeline" if whole else "annex-b"
    for group in raw["groups"].values():
        if draw(st.booleans()):
            method = draw(st.sampled_from(["annex-b", "timeline"]))
            group["conventions"] = {**group.get("conventions", {}), "redundancy_method": method}
        used = group.get("conventions", {}).get("redundancy_method") or raw["conventions"]["redundancy_method"]
        if used == "timeline" and group.get("channels") and group["voting"] != "1oo2D" and draw(st.booleans()):
            first, *rest = group["channels"][-1]
            beta = {"beta": 0.1, "beta_d": 0.05, "source": "site"}
            element = {"voting": "1oo2", "of": [first, first], "stated_beta": beta}
            group["channels"] = [*group["channels"][:-1], [element, *rest]]
        how = draw(st.sampled_from(["plain", "staggered", "in test"]))
        if how == "plain":
            group["check_others"] = draw(st.booleans())
            continue
        tests = [*group.pop("tests", []), group.pop("proof_test", {})]
        hours = max(test.get("interval_h", 0) for test in tests)
        if how == "staggered":
            group["proof_test"] = {"interval_h": hours, "coverage": 1.0, "staggered": True}
        else:
            in_test = {"duration_h": 4, "bypass": "group", "error": 1e-4}
            group["tests"] = [{"interval_h": hours, "coverage": 1.0, **in_test}]
    return Plant.model_validate(raw)


def _some(built: Model, draw: st.DataObject, sets: int) -> np.ndarray:
    count = len(built.actions)
    drawn = [draw.draw(st.lists(st.booleans(), min_size=count, max_size=count)) for _ in range(sets)]
    return np.array(drawn, dtype=bool).reshape(sets, count)


def _shares(built: Model, chosen: np.ndarray) -> np.ndarray:
    """The sum of each function as a share of its result, which must be that of the assessment, as (functions, sets)."""
    results, states = built.problem.results(chosen), built.problem.states(chosen)
    for at in range(len(chosen)):
        after = built.improved(frozenset(np.flatnonzero(chosen[at]).tolist()))
        expected = [getattr(after.function(name).cases, built.case) for name in FUNCTIONS]
        assert results[:, at].tolist() == pytest.approx(expected, rel=1e-9)
    sums = [
        np.sum([term.value([states[each] for each in term.groups]) for term in function.terms], axis=0)
        for function in built.problem.functions
    ]
    return np.array(sums) / results


@SEVERAL
@given(on_timeline(), CASES, st.data())
def test_the_tables_give_what_the_assessment_gives_and_their_sum_is_below(
    plant: Plant, case: Case, data: st.DataObject
) -> None:
    built = model(Assessment(plant), FUNCTIONS, case, efforts={})
    shares = _shares(built, _some(built, data, 2))
    assert (shares <= 1.0 + 1e-9).all()
    assert (shares >= 0.8).all(), "so near that few sets are tried in vain"


@SEVERAL
@given(on_timeline(), CASES, st.data())
def test_their_sum_is_below_with_changes_of_tests_and_voting_too(plant: Plant, case: Case, data: st.DataObject) -> None:
    built = model(Assessment(plant), FUNCTIONS, case, efforts=data.draw(allowed_changes(plant)))
    chosen = _some(built, data, 3)
    possible = [built.problem.possible(frozenset(np.flatnonzero(each).tolist())) for each in chosen]
    assert (_shares(built, chosen[possible]) <= 1.0 + 1e-9).all()


@SEVERAL
@given(on_timeline(), CASES, st.data())
def test_the_set_found_is_the_best_of_all_subsets(plant: Plant, case: Case, data: st.DataObject) -> None:
    allowed: Efforts = data.draw(st.just({}) | allowed_changes(plant))
    first = model(Assessment(plant), FUNCTIONS, case, efforts=allowed)
    if len(first.actions) > MOST_TRIED:
        return
    reached = first.problem.results(_some(first, data, 1))[:, 0].tolist()
    functions = dict(plant.functions)
    for name, value in zip(FUNCTIONS, reached, strict=True):
        limit = value * data.draw(st.sampled_from([1.0 + 1e-6, 1.001, 1.2, 0.999]))
        low = functions[name].demand == "low"
        if 1.0 < 1.0 / limit < 1e6 if low else limit < 1e-2:
            target = {"target_rrf": 1.0 / limit} if low else {"target_pfh": limit}
            functions[name] = functions[name].model_copy(update=target)
    assessment = Assessment(plant.model_copy(update={"functions": functions}))
    efforts: Efforts = {each: data.draw(st.sampled_from([0.5, 1.0, 2.0])) for each in first.actions}
    built = model(assessment, FUNCTIONS, case, efforts=efforts)
    found = of_model(built)
    assert found.proven
    best = best_by_trying_all(assessment, FUNCTIONS, case, efforts, built.actions)
    assert (found.actions if found.feasible else None) == best
