"""Methods of their own of groups in a revision: named where they differ, computed with again, seen as a change."""

from __future__ import annotations

from typing import Any

import pytest

from checks.assessment import editions
from checks.assessment.assessment import Assessment
from checks.comparison.comparison import compare
from checks.plantfile.plant import Plant
from checks.revision import basis, fingerprint
from checks.revision.basis import NewerRelease
from tests.checks.given import plain_2
from tests.checks.revision.test_stored_results import body

OVER = {"redundancy": {"id": "timeline", "edition": 1}}


def _plant(plant: str = "annex-b", **groups: str) -> Assessment:
    raw = plain_2()
    raw["conventions"]["redundancy_method"] = plant
    for key, method in groups.items():
        own = raw["groups"][key].setdefault("conventions", {})
        own["redundancy_method"] = method
    return Assessment(Plant.model_validate(raw))


def test_a_basis_names_the_methods_of_groups_only_where_they_differ_from_those_of_the_plant() -> None:
    assert "group_methods" not in basis.facts(_plant(), "S1")
    assert "group_methods" not in basis.facts(_plant(esv="annex-b"), "S1")
    assert "group_methods" not in basis.facts(_plant("timeline", esv="timeline"), "S1")
    assert basis.facts(_plant(esv="timeline"), "S1")["group_methods"] == {"esv": OVER}
    other = basis.facts(_plant("timeline", esv="annex-b"), "S1")
    assert other["group_methods"] == {"esv": {"redundancy": {"id": "annex-b", "edition": 2}}}
    assert other["methods"]["redundancy_method"] == OVER["redundancy"]


def test_a_basis_without_such_groups_is_what_it_was() -> None:
    """The field is absent, so records of earlier releases keep their hash (see also ``tests/golden``)."""
    before = {"system", "plant", "shared_by", "reach", "methods", "banks", "fingerprint"}
    assert basis.facts(_plant(), "S1").keys() == before


@pytest.mark.parametrize(
    "assessment", [_plant(esv="timeline"), _plant("timeline"), _plant("timeline", pt="annex-b", cpu="annex-b")]
)
def test_a_revision_is_computed_again_with_the_methods_that_it_names(assessment: Assessment) -> None:
    stored = body("S1", assessment)
    assert basis.differences(stored) == []
    assert basis.fingerprint_matches(stored["facts"])
    past = basis.revision_assessment(stored)
    assert past.reproduced
    assert past.editions.of_groups == assessment.editions.of_groups
    for name in assessment.plant.functions:
        assert past.function(name) == assessment.function(name)
        assert past.method_of(name) == assessment.method_of(name)


def test_the_fingerprint_covers_the_methods_of_groups_and_not_their_names() -> None:
    one, other, none, whole = _plant(esv="timeline"), _plant(pt="timeline"), _plant(), _plant("timeline")
    assert fingerprint.of(one.editions) == fingerprint.of(other.editions)
    assert len({fingerprint.of(each.editions) for each in (one, none, whole)}) == 3


def test_an_edition_of_a_newer_release_is_named() -> None:
    stored = body("S1", _plant(esv="timeline"))
    stored["facts"]["group_methods"]["esv"]["redundancy"]["edition"] = 9
    with pytest.raises(NewerRelease, match="no redundancy method timeline edition 9"):
        basis.known_editions(stored)


@pytest.mark.parametrize("malformed", [[], {"esv": 1}, {"esv": {"redundancy": {"id": 1, "edition": 1}}}])
def test_malformed_methods_are_left_to_the_reader_of_the_facts(malformed: Any) -> None:
    editions.named_in({"group_methods": malformed})


def test_the_change_of_a_method_is_named_and_its_effect_is_a_step() -> None:
    old, new = _plant(), _plant(esv="timeline")
    compared = compare(old, new)
    (fact,) = compared.data
    assert fact.place == "groups.esv.conventions"
    moved = {function.id: function for function in compared.functions if function.steps}
    assert moved.keys() == {"SIF-1", "SIF-2"}
    (step,) = moved["SIF-1"].steps
    assert step.before == old.function("SIF-1").cases.adjusted
    assert step.after == pytest.approx(new.function("SIF-1").cases.adjusted, rel=1e-12)


def test_the_method_of_the_plant_changes_with_its_edition_in_one_step() -> None:
    old, new = _plant(), _plant("timeline")
    compared = compare(old, new)
    assert {fact.place for fact in compared.data} >= {"conventions.redundancy_method"}
    for function in compared.functions:
        (step,) = function.steps
        assert step.after == pytest.approx(new.function(function.id).cases.adjusted, rel=1e-12)


def test_what_only_the_timeline_uses_moves_a_result_on_it() -> None:
    """Two of three channels must be sound again: it matters whether a failure in one has the others tested."""
    steps = {}
    for method in ("timeline", "annex-b"):
        raw = plain_2()
        raw["conventions"]["redundancy_method"] = method
        raw["groups"]["pt"]["proof_test"]["staggered"] = True
        checked = {**raw, "groups": {**raw["groups"], "pt": {**raw["groups"]["pt"], "check_others": True}}}
        old, new = (Assessment(Plant.model_validate(each)) for each in (raw, checked))
        steps[method] = {function.id: function.steps for function in compare(old, new).functions}
        for step in steps[method]["SIF-3"]:
            assert step.after == pytest.approx(new.function("SIF-3").cases.adjusted, rel=1e-12)
    assert len(steps["timeline"]["SIF-3"]) == 1
    assert not any(steps["annex-b"].values())
