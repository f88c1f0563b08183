"""Invariants of the indicated security level."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from scoring.levels import FOUNDATIONAL, HIGHEST, NAMES, foundation_of, indicated, required_at

answers = st.dictionaries(st.sampled_from(sorted(required_at())), st.booleans())
named = st.sampled_from(sorted(required_at()))


@given(asked=answers, changed=named)
def test_the_level_never_rises_when_one_requirement_turns_unmet(asked: dict[str, bool], changed: str) -> None:
    before, after = indicated({**asked, changed: True}), indicated({**asked, changed: False})
    assert all(after[fr].indicated <= before[fr].indicated for fr in FOUNDATIONAL)
    others = [fr for fr in FOUNDATIONAL if fr != foundation_of()[changed]]
    assert all(after[fr] == before[fr] for fr in others)


@given(asked=answers, more=named, met=st.booleans())
def test_asking_more_never_raises_the_level(asked: dict[str, bool], more: str, *, met: bool) -> None:
    before, after = indicated(asked), indicated({more: met, **asked})
    assert all(after[fr].indicated <= before[fr].indicated for fr in FOUNDATIONAL)


@given(asked=answers)
def test_asked_and_not_asked_make_the_whole_standard(asked: dict[str, bool]) -> None:
    levels = indicated(asked)
    assert tuple(levels) == FOUNDATIONAL == tuple(NAMES)
    assert sum(level.asked for level in levels.values()) == len(asked)
    assert sum(level.asked + level.not_asked for level in levels.values()) == len(required_at())


@given(asked=answers)
def test_every_asked_requirement_of_the_indicated_level_is_met(asked: dict[str, bool]) -> None:
    for fr, level in indicated(asked).items():
        own = [name for name in asked if foundation_of()[name] == fr]
        assert all(asked[name] for name in own if level.indicated in required_at()[name])
        if level.indicated < HIGHEST:
            assert any(not asked[name] for name in own if level.indicated + 1 in required_at()[name])


def test_a_requirement_once_needed_is_needed_at_every_higher_level() -> None:
    for levels in required_at().values():
        assert levels == set(range(min(levels), HIGHEST + 1))


def test_with_nothing_asked_the_level_rests_on_nothing() -> None:
    assert {(level.indicated, level.asked) for level in indicated({}).values()} == {(HIGHEST, 0)}
