"""Results kept from one assessment to the next are never stale: they equal those of a fresh one."""

from __future__ import annotations

from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Answer, Plant
from tests.checks.draws import answers
from tests.checks.given import answer, assessed, bare_plant, valid_plant


@cache
def _plant() -> Plant:
    return valid_plant()


def _fresh(assessment: Assessment) -> Assessment:
    """A new assessment of the same plant with the same answers."""
    return Assessment(assessment.plant.model_copy(update={"answers": list(assessment.answers)}))


def _assert_same(assessment: Assessment) -> None:
    fresh = _fresh(assessment)
    assert outcome(assessment) == outcome(fresh)
    for key in assessment.plant.groups:
        assert assessment.group(key) == fresh.group(key)
    for key in assessment.plant.functions:
        assert assessment.function(key) == fresh.function(key)
    for key in assessment.plant.zones:
        assert assessment.zone(key) == fresh.zone(key)


def _look_at(assessment: Assessment, names: set[str]) -> None:
    """Compute some results, so that they can be kept."""
    for kind, read in (("groups", assessment.group), ("functions", assessment.function), ("zones", assessment.zone)):
        for key in getattr(assessment.plant, kind):
            if f"{kind}.{key}" in names:
                read(key)


EVERY = [f"{kind}.{key}" for kind in ("groups", "functions", "zones") for key in getattr(_plant(), kind)]
steps = st.lists(
    st.tuples(st.sets(st.sampled_from(EVERY)), st.lists(answers(), min_size=1, max_size=3)), min_size=1, max_size=8
)


@settings(deadline=None, max_examples=50)
@given(steps=steps)
def test_with_answers_equals_a_fresh_assessment_with_the_same_answers(
    steps: list[tuple[set[str], list[Answer]]],
) -> None:
    assessment = Assessment(_plant())
    for looked_at, more in steps:
        _look_at(assessment, looked_at)
        assessment = assessment.with_answers(more)
    _assert_same(assessment)


@settings(deadline=None, max_examples=40)
@given(steps=steps)
def test_nothing_is_stale_when_everything_was_computed_before_each_answer(
    steps: list[tuple[set[str], list[Answer]]],
) -> None:
    assessment = Assessment(_plant())
    for _, more in steps:
        _look_at(assessment, set(EVERY))
        assessment = assessment.with_answers(more)
        _assert_same(assessment)


@settings(deadline=None, max_examples=40)
@given(given_answers=st.lists(answers(), min_size=1, max_size=12), data=st.data())
def test_without_an_answer_equals_a_fresh_assessment_that_never_had_it(
    given_answers: list[Answer], data: st.DataObject
) -> None:
    before = assessed(*given_answers)
    _look_at(before, set(EVERY))
    withdrawn = data.draw(st.sampled_from(list(before.answers)))
    without = before.without_answer(withdrawn.question, withdrawn.of)
    assert all((answer.question, answer.of) != (withdrawn.question, withdrawn.of) for answer in without.answers)
    _assert_same(without)


@settings(deadline=None, max_examples=40)
@given(
    given_answers=st.lists(answers(), max_size=12, unique_by=lambda answer: (answer.question, answer.of)),
    data=st.data(),
)
def test_the_order_in_which_answers_were_given_does_not_matter(
    given_answers: list[Answer], data: st.DataObject
) -> None:
    shuffled = data.draw(st.permutations(given_answers))
    assert outcome(assessed(*given_answers)) == outcome(assessed(*shuffled))


def test_the_earlier_assessment_does_not_change() -> None:
    before = Assessment(bare_plant())
    kept = outcome(before)
    before.with_answers([answer("Z01", "zone:sis", "not-met"), answer("CMP1", "plant")])
    assert outcome(before) == kept


def test_an_answer_of_one_group_keeps_the_results_of_the_others() -> None:
    before = Assessment(bare_plant())
    outcome(before)
    after = before.with_answers([answer("SEP4", "group:pt-301")])
    assert after.group("ls-sis") is before.group("ls-sis")
    assert after.function("SIF-401") is before.function("SIF-401")
    assert after.zone("field") is before.zone("field")
    assert after.group("pt-301") is not before.group("pt-301")
    assert after.function("SIF-301") is not before.function("SIF-301")
