"""What holds of every change: nothing out of reach is reopened, nothing that counts is left, wider is never less."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from checks.assessment.answers import SAME_QUESTION, Answers
from checks.assessment.assessment import Links
from checks.questions.bank import banks
from checks.reassessment.reopening import Change, kinds, reopened, topics, topics_of
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
    """Addressees whose answers can speak for a group."""
    zone = PLANT.groups[group].zone
    return {f"group:{group}", "plant", f"zone:{zone}", *(f"system:{key}" for key in LINKS.systems_of[group])}


@given(stored, changes)
def test_only_stored_answers_are_reopened_and_only_on_topics_of_the_change(held: Answers, one: Change) -> None:
    about = topics_of(one)
    for question, of in reopened(one, PLANT, held):
        assert held.get(question, of) is not None
        answered = {question, *(name for name, same in SAME_QUESTION.items() if same == question)}
        assert any(about & set(banks().every[name].topics) for name in answered)


@given(stored, kind_ids, st.sampled_from(list(PLANT.groups)))
def test_nothing_beyond_the_reach_of_a_group_is_reopened(held: Answers, kind: str, group: str) -> None:
    found = reopened(_of(kind, f"group:{group}"), PLANT, held)
    assert {of for _, of in found} <= _holders(group)
    overruled = {
        (question, of) for question, of in found if of != f"group:{group}" and held.get(question, f"group:{group}")
    }
    assert overruled == set()


@given(stored, kind_ids, st.sampled_from(list(PLANT.zones)))
def test_nothing_beyond_the_reach_of_a_zone_is_reopened(held: Answers, kind: str, zone: str) -> None:
    found = reopened(_of(kind, f"zone:{zone}"), PLANT, held)
    inside = {of for group in LINKS.groups_in[zone] for of in _holders(group)}
    assert {of for _, of in found} <= inside | {f"zone:{zone}", "plant"}


@given(stored, kind_ids, st.sampled_from(list(PLANT.groups)))
def test_an_answer_without_which_something_else_would_hold_for_a_group_is_reopened(
    held: Answers, kind: str, group: str
) -> None:
    """The check runs the other way round: each answer is taken away, and what then holds is compared."""

    def holds(after: Answers) -> dict[str, object]:
        zone = PLANT.groups[group].zone
        return dict(after.for_group(group, zone=zone, systems=LINKS.systems_of[group]))

    change = _of(kind, f"group:{group}")
    about, found, now = topics_of(change), reopened(change, PLANT, held), holds(held)
    for one in held:
        then = holds(held.without(one.question, one.of))
        moved = {name for name in now if now[name] != then.get(name)}
        if any(about & set(banks().every[name].topics) for name in moved):
            assert (one.question, one.of) in found


@given(stored, kind_ids, st.sampled_from(list(PLANT.groups)))
def test_a_wider_touch_never_reopens_less(held: Answers, kind: str, group: str) -> None:
    narrow = reopened(_of(kind, f"group:{group}"), PLANT, held)
    zone = PLANT.groups[group].zone
    wider = [f"system:{key}" for key in LINKS.systems_of[group]] + ([f"zone:{zone}"] if zone else [])
    widest = reopened(_of(kind, "plant"), PLANT, held)
    for of in wider:
        found = reopened(_of(kind, of), PLANT, held)
        assert narrow <= found <= widest
    assert narrow <= widest


@given(stored, changes)
def test_touching_several_reopens_what_touching_each_does(held: Answers, one: Change) -> None:
    each = [Change(one.kind, frozenset({of}), one.named, one.condition_holds) for of in one.touched]
    assert reopened(one, PLANT, held) == frozenset().union(*(reopened(single, PLANT, held) for single in each))


@given(stored, changes, names)
def test_a_further_topic_never_reopens_less(held: Answers, one: Change, more: frozenset[str]) -> None:
    named = one.named or frozenset({"T1"})  # with none named the cause is not known, and more is reopened
    before = Change(one.kind, one.touched, named, one.condition_holds)
    after = Change(one.kind, one.touched, named | more, one.condition_holds)
    assert reopened(before, PLANT, held) <= reopened(after, PLANT, held)


@given(stored, touches)
def test_cyber_topics_alone_reopen_no_answer_to_a_common_cause_question(held: Answers, touched: frozenset[str]) -> None:
    for key, kind in kinds().items():
        if not kind.common_cause and not kind.topic_of_cause:
            found = reopened(Change(key, touched), PLANT, held)
            assert {question for question, _ in found}.isdisjoint(banks().common_cause)


@given(stored)
def test_a_change_of_target_alone_reopens_no_answer(held: Answers) -> None:
    assert reopened(_of("target-changed", "plant"), PLANT, held) == frozenset()
