"""Properties of every change: no answer out of reach is reopened, none that applies is missed, wider is never less."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from checks.assessment.answers import SAME_QUESTION, Answers
from checks.assessment.links import Links
from checks.questions.bank import banks
from checks.reassessment.kinds_of_change import kinds, topics
from checks.reassessment.reopening import Change, reopened, topics_of
from tests.checks.draws import answers
from tests.checks.given import bare_plant

PLANT = bare_plant()
LINKS = Links(PLANT)
GROUPS = [f"group:{key}" for key in PLANT.groups]
EVERY = [*GROUPS, *(f"zone:{key}" for key in PLANT.zones), *(f"system:{key}" for key in PLANT.systems), "plant"]

stored = st.lists(answers(), max_size=60).map(Answers)
touches = st.frozensets(st.sampled_from(EVERY), min_size=1, max_size=3)
names = st.frozensets(st.sampled_from(list(topics())), max_size=2)
kind_ids = st.sampled_from(list(kinds()))
changes = st.builds(Change, kind_ids, touches, names, st.booleans())


def _of(kind: str, *touched: str) -> Change:
    return Change(kind, frozenset(touched))


def _holders(group: str) -> set[str]:
    """Addressees whose answers can apply to a group."""
    zone = PLANT.groups[group].zone
    return {f"group:{group}", "plant", f"zone:{zone}", *(f"system:{key}" for key in LINKS.systems_of[group])}


@given(stored, changes)
def test_only_stored_answers_are_reopened_and_only_on_topics_of_the_change(saved: Answers, change: Change) -> None:
    about = topics_of(change)
    for question, of in reopened(change, PLANT, saved):
        assert saved.get(question, of) is not None
        answered = {question, *(name for name, same in SAME_QUESTION.items() if same == question)}
        assert any(about & set(banks().questions[name].topics) for name in answered)


@given(stored, kind_ids, st.sampled_from(list(PLANT.groups)))
def test_no_answer_out_of_reach_of_a_group_is_reopened(saved: Answers, kind: str, group: str) -> None:
    reopened_answers = reopened(_of(kind, f"group:{group}"), PLANT, saved)
    assert {of for _, of in reopened_answers} <= _holders(group)
    overruled = {
        (question, of)
        for question, of in reopened_answers
        if of != f"group:{group}" and saved.get(question, f"group:{group}")
    }
    assert overruled == set()


@given(stored, kind_ids, st.sampled_from(list(PLANT.zones)))
def test_no_answer_out_of_reach_of_a_zone_is_reopened(saved: Answers, kind: str, zone: str) -> None:
    reopened_answers = reopened(_of(kind, f"zone:{zone}"), PLANT, saved)
    inside = {of for group in LINKS.groups_in[zone] for of in _holders(group)}
    assert {of for _, of in reopened_answers} <= inside | {f"zone:{zone}", "plant"}


@given(stored, kind_ids, st.sampled_from(list(PLANT.groups)))
def test_an_answer_that_is_effective_for_a_group_is_reopened(saved: Answers, kind: str, group: str) -> None:
    """The check goes the other way: remove each answer and compare the effective answers."""

    def effective(after: Answers) -> dict[str, object]:
        zone = PLANT.groups[group].zone
        return dict(after.for_group(group, zone=zone, systems=LINKS.systems_of[group]))

    change = _of(kind, f"group:{group}")
    about, reopened_answers, before = topics_of(change), reopened(change, PLANT, saved), effective(saved)
    for answer in saved:
        then = effective(saved.without(answer.question, answer.of))
        moved = {name for name in before if before[name] != then.get(name)}
        if any(about & set(banks().questions[name].topics) for name in moved):
            assert (answer.question, answer.of) in reopened_answers


@given(stored, kind_ids, st.sampled_from(list(PLANT.groups)))
def test_a_wider_touch_never_reopens_less(saved: Answers, kind: str, group: str) -> None:
    narrow = reopened(_of(kind, f"group:{group}"), PLANT, saved)
    zone = PLANT.groups[group].zone
    wider = [f"system:{key}" for key in LINKS.systems_of[group]] + ([f"zone:{zone}"] if zone else [])
    widest = reopened(_of(kind, "plant"), PLANT, saved)
    for of in wider:
        reopened_answers = reopened(_of(kind, of), PLANT, saved)
        assert narrow <= reopened_answers <= widest
    assert narrow <= widest


@given(stored, changes)
def test_touching_several_addressees_reopens_the_same_as_touching_each(saved: Answers, change: Change) -> None:
    each = [Change(change.kind, frozenset({of}), change.named, change.condition_holds) for of in change.touched]
    assert reopened(change, PLANT, saved) == frozenset().union(*(reopened(single, PLANT, saved) for single in each))


@given(stored, changes, names)
def test_a_further_topic_never_reopens_less(saved: Answers, change: Change, extra: frozenset[str]) -> None:
    named = change.named or frozenset({"T1"})  # with none named the cause is not known, and more is reopened
    before = Change(change.kind, change.touched, named, change.condition_holds)
    after = Change(change.kind, change.touched, named | extra, change.condition_holds)
    assert reopened(before, PLANT, saved) <= reopened(after, PLANT, saved)


@given(stored, touches)
def test_cyber_topics_alone_reopen_no_answer_to_a_common_cause_question(
    saved: Answers, touched: frozenset[str]
) -> None:
    for key, kind in kinds().items():
        if not kind.common_cause and not kind.topic_of_cause:
            reopened_answers = reopened(Change(key, touched), PLANT, saved)
            assert {question for question, _ in reopened_answers}.isdisjoint(banks().common_cause)


@given(stored)
def test_a_change_of_target_alone_reopens_no_answer(saved: Answers) -> None:
    assert reopened(_of("target-changed", "plant"), PLANT, saved) == frozenset()
