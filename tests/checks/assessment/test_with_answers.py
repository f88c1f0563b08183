"""What is kept from one assessment to the next is never stale: the result is that of a fresh one."""

from __future__ import annotations

from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from checks.assessment.assessment import Assessment
from checks.assessment.json_results import outcome
from checks.plantfile.plant import Answer, Plant
from tests.checks.draws import answers
from tests.checks.given import answer, assessed, bare_plant, valid_plant


@cache
def _plant() -> Plant:
    return valid_plant()


def _fresh(held: Assessment) -> Assessment:
    """The same plant with the same answers, from nothing."""
    return Assessment(held.plant.model_copy(update={"answers": list(held.answers)}))


def _assert_same(held: Assessment) -> None:
    fresh = _fresh(held)
    assert outcome(held) == outcome(fresh)
    for key in held.plant.groups:
        assert held.group(key) == fresh.group(key)
    for key in held.plant.functions:
        assert held.function(key) == fresh.function(key)
    for key in held.plant.zones:
        assert held.zone(key) == fresh.zone(key)


def _look_at(held: Assessment, names: set[str]) -> None:
    """Have some results computed, so that they can be kept."""
    for kind, read in (("groups", held.group), ("functions", held.function), ("zones", held.zone)):
        for key in getattr(held.plant, kind):
            if f"{kind}.{key}" in names:
                read(key)


EVERY = [f"{kind}.{key}" for kind in ("groups", "functions", "zones") for key in getattr(_plant(), kind)]
steps = st.lists(
    st.tuples(st.sets(st.sampled_from(EVERY)), st.lists(answers(), min_size=1, max_size=3)), min_size=1, max_size=8
)


@settings(deadline=None, max_examples=100)
@given(steps=steps)
def test_with_answers_equals_a_fresh_assessment_with_the_same_answers(
    steps: list[tuple[set[str], list[Answer]]],
) -> None:
    held = Assessment(_plant())
    for looked_at, more in steps:
        _look_at(held, looked_at)
        held = held.with_answers(more)
    _assert_same(held)


@settings(deadline=None, max_examples=60)
@given(steps=steps)
def test_nothing_is_stale_when_everything_was_computed_before_each_answer(
    steps: list[tuple[set[str], list[Answer]]],
) -> None:
    held = Assessment(_plant())
    for _, more in steps:
        _look_at(held, set(EVERY))
        held = held.with_answers(more)
        _assert_same(held)


@settings(deadline=None, max_examples=60)
@given(given_answers=st.lists(answers(), min_size=1, max_size=12), data=st.data())
def test_without_an_answer_equals_a_fresh_assessment_that_never_had_it(
    given_answers: list[Answer], data: st.DataObject
) -> None:
    held = assessed(*given_answers)
    _look_at(held, set(EVERY))
    gone = data.draw(st.sampled_from(list(held.answers)))
    without = held.without_answer(gone.question, gone.of)
    assert all((one.question, one.of) != (gone.question, gone.of) for one in without.answers)
    _assert_same(without)


@settings(deadline=None, max_examples=40)
@given(given_answers=st.lists(answers(), max_size=12, unique_by=lambda one: (one.question, one.of)), data=st.data())
def test_the_order_in_which_answers_were_given_does_not_matter(
    given_answers: list[Answer], data: st.DataObject
) -> None:
    shuffled = data.draw(st.permutations(given_answers))
    assert outcome(assessed(*given_answers)) == outcome(assessed(*shuffled))


def test_the_assessment_before_stays_as_it_was() -> None:
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
