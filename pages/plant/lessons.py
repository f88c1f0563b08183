"""What the revisions teach, at the top of Plant: three sentences, each with a link to the screen where it is seen."""

from __future__ import annotations

from dataclasses import dataclass

import streamlit as st

from checks.assessment import verdicts
from checks.assessment.assessment import Assessment
from checks.comparison.lessons import Lessons
from checks.state.live import Live, State
from pages.cached import comparisons
from pages.presentation import lesson_words
from pages.presentation.wording import escaped
from pages.ui import frame, state

HEAD = "### What the revisions show"


@dataclass(frozen=True, slots=True)
class _Lesson:
    """Headline, sentences, and the place on What changed: system, revisions by number, function."""

    head: str
    text: str
    system: str
    numbers: tuple[int, int]
    function: str


def draw(live: Live, current: State, system: str | None) -> None:
    """Draw what is there to say of the plant, or of one system, for those who may see what changed."""
    if not state.person().may("see evidence"):
        return
    systems = current.systems if system is None else [system]
    if not any(len(current.records.revisions.get(key, ())) > 1 for key in systems):
        return
    learned = comparisons.learned(live, current)
    with st.container(key="lessons"):  # keeps its place meanwhile: what stands below it must not move under a hand
        if learned is None:
            st.markdown(HEAD)
            st.caption("being calculated …")
        else:
            _drawn(_lessons(learned if system is None else learned.of(system), current.assessment))


def _drawn(lessons: list[_Lesson]) -> None:
    if not lessons:
        return
    st.markdown(HEAD)
    for column, lesson in zip(st.columns(len(lessons), gap="medium"), lessons, strict=True):
        with column:
            where = {"system": lesson.system, "function": lesson.function}
            old, new = map(str, lesson.numbers)
            frame.link("changed", lesson.head, **where, **{"from": old, "to": new})
            st.caption(escaped(lesson.text))
    st.caption(lesson_words.FACTORS)


def _lessons(learned: Lessons, present: Assessment) -> list[_Lesson]:
    found = []
    overstated = [claim for claim in learned.claims if claim.worse >= verdicts.WORTH]
    claims = learned.hidden or sorted(overstated, key=lambda claim: -claim.worse)
    if claims:
        claim = claims[0]
        today = present.function(claim.first.id) if claim.first.id in present.plant.functions else None
        words = lesson_words.first_record(claims, today)
        found.append(_Lesson(*words, claim.system, claim.numbers, claim.first.id))
    if (bought := learned.worst_purchase) is not None:
        found.append(_Lesson(*lesson_words.purchase(bought), bought.system, bought.numbers, bought.after.id))
    if (change := learned.best_change(present)) is not None:
        found.append(_Lesson(*lesson_words.change(change), change.system, change.numbers, change.after.id))
    return found
