"""Steps from the result of a function in one state to its result in the next.

Facts are applied in a fixed order: plant data first (conventions, devices, groups, systems, functions), then
answers in the order of the banks, for each question the broadest addressee first (house rule). A fact that would make
the plant invalid, such as a voting without its channels, waits and forms one step with the fact that makes it valid:
each intermediate state is a valid plant. Each step starts where the previous one ended, so the gains multiply to the
total change. Facts interact (for example, two answers that only together reach the next band of a table), so the size of
a step depends on the order; ``gain_alone`` is the effect of the same facts on the old state.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from math import isclose

from checks.assessment.answers import SAME_QUESTION
from checks.assessment.assessment import Assessment
from checks.comparison.differences import AnswerFact, Fact
from checks.plantfile.plant import Plant
from checks.questions.bank import banks


def same(first: float, second: float) -> bool:
    """Whether two results are equal within rounding."""
    return isclose(first, second, rel_tol=1e-12)


@dataclass(frozen=True, slots=True)
class Step:
    """Facts that change together, and the result before and after: PFDavg in low, PFH [1/h] in high demand.

    ``gain_alone`` is the gain of these facts applied alone to the old state; None where that is not a valid plant.
    """

    facts: tuple[Fact, ...]
    before: float
    after: float
    gain_alone: float | None

    @property
    def gain(self) -> float:
        """Factor by which the result improves, before / after."""
        return self.before / self.after

    @property
    def moves(self) -> bool:
        """Whether these facts change the result at their place in the order; some change it only when applied alone."""
        return self.before != self.after


def step(facts: tuple[Fact, ...], before: float, after: float, gain_alone: float | None) -> Step | None:
    """The step of these facts; None where they change nothing, neither in order nor alone."""
    if not same(before, after):
        return Step(facts, before, after, gain_alone)
    if gain_alone is None or same(gain_alone, 1.0):
        return None
    return Step(facts, before, before, gain_alone)


def answer_steps(
    old: Assessment, state: Assessment, facts: Sequence[AnswerFact], functions: Collection[str]
) -> Iterator[tuple[str, Step]]:
    """Steps of answers, each with the function it changes. ``state`` is the new plant with the old answers."""
    moving = [fact for fact in facts if fact.moves]
    current = {name: state.function(name).cases.adjusted for name in functions} if moving else {}
    for fact in moving:
        moved, alone = {}, _alone(old, fact, current)
        if _has(state.plant, fact.of):
            state = _given(state, fact)
            moved = {name: state.function(name).cases.adjusted for name in _reached(state, fact) if name in current}
        by_itself = 1.0 if _has(old.plant, fact.of) else None
        for name in dict.fromkeys((*moved, *alone)):
            answer_step = step((fact,), current[name], moved.get(name, current[name]), alone.get(name, by_itself))
            if answer_step is not None:
                current[name] = answer_step.after
                yield name, answer_step


def _has(plant: Plant, of: str) -> bool:
    """Whether a plant has this addressee."""
    kind, _, key = of.partition(":")
    known: dict[str, Collection[str]] = {"system": plant.systems, "zone": plant.zones, "group": plant.groups}
    return kind == "plant" or key in known[kind]


def _asked(assessment: Assessment, key: str, question: str) -> bool:
    """Whether the result of a group depends on this question."""
    if question in banks().cyber:
        return assessment.plant.groups[key].programmable or question in SAME_QUESTION.values()
    return question in assessment.asked(key)


def _reached(assessment: Assessment, fact: AnswerFact) -> dict[str, None]:
    """Functions that an answer can change."""
    keys = [key for key in assessment.links.groups_of(fact.of) if _asked(assessment, key, fact.question)]
    return {name: None for key in keys for name in assessment.links.uses[key]}


def _given(assessment: Assessment, fact: AnswerFact) -> Assessment:
    return (
        assessment.without_answer(fact.question, fact.of) if fact.new is None else assessment.with_answers([fact.new])
    )


def _alone(old: Assessment, fact: AnswerFact, functions: Collection[str]) -> dict[str, float]:
    """Gain of each function that this answer alone can change in the old state."""
    if not _has(old.plant, fact.of):
        return {}
    later, names = _given(old, fact), [name for name in _reached(old, fact) if name in functions]
    return {name: old.function(name).cases.adjusted / later.function(name).cases.adjusted for name in names}
