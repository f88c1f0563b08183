"""A chain of steps from the result of a function in one state to its result in the next.

The chain takes the facts in a fixed order: plant data first (conventions, devices, groups, systems, functions), then
answers in the order of the banks, of one question the broadest addressee first (house rule). A fact that does not
fit yet, such as a voting without its channels, waits and is one step with the fact that lets it in: every state
between the two is a plant that could stand in a plant file. Each step starts where the one before ended, so the gains multiply to the
whole change. Facts interact (two answers that only together reach the next band of a table, say), so the size of a
step depends on the order; ``gain_alone`` says what the same facts do to the old state on their own.
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


def same(one: float, other: float) -> bool:
    """Whether two results are equal but for the rounding of their last digits."""
    return isclose(one, other, rel_tol=1e-12)


@dataclass(frozen=True, slots=True)
class Step:
    """Facts that changed together, and the result before and after: PFDavg in low, PFH [1/h] in high demand.

    ``gain_alone`` is the gain of these facts applied alone to the old state; None where that is no possible plant.
    """

    facts: tuple[Fact, ...]
    before: float
    after: float
    gain_alone: float | None

    @property
    def gain(self) -> float:
        """Factor by which the result improves: that of the RRF in low demand, one over that of the PFH in high."""
        return self.before / self.after

    @property
    def moves(self) -> bool:
        """Whether these facts move the result at their place in the chain; some move it only when alone."""
        return self.before != self.after


def step(facts: tuple[Fact, ...], before: float, after: float, gain_alone: float | None) -> Step | None:
    """The step of these facts; None where they move nothing, neither in the chain nor alone."""
    if not same(before, after):
        return Step(facts, before, after, gain_alone)
    if gain_alone is None or same(gain_alone, 1.0):
        return None
    return Step(facts, before, before, gain_alone)


def answer_steps(
    old: Assessment, held: Assessment, facts: Sequence[AnswerFact], functions: Collection[str]
) -> Iterator[tuple[str, Step]]:
    """Steps of answers, each with the function it moves; ``held`` is the new plant with the old answers."""
    moving = [fact for fact in facts if fact.moves]
    now = {name: held.function(name).cases.adjusted for name in functions} if moving else {}
    for fact in moving:
        moved, alone = {}, _alone(old, fact, now)
        if _stands(held.plant, fact.of):
            held = _given(held, fact)
            moved = {name: held.function(name).cases.adjusted for name in _reached(held, fact) if name in now}
        by_itself = 1.0 if _stands(old.plant, fact.of) else None
        for name in dict.fromkeys((*moved, *alone)):
            made = step((fact,), now[name], moved.get(name, now[name]), alone.get(name, by_itself))
            if made is not None:
                now[name] = made.after
                yield name, made


def _stands(plant: Plant, of: str) -> bool:
    """Whether a plant has this addressee."""
    kind, _, key = of.partition(":")
    known: dict[str, Collection[str]] = {"system": plant.systems, "zone": plant.zones, "group": plant.groups}
    return kind == "plant" or key in known[kind]


def _asked(held: Assessment, key: str, question: str) -> bool:
    """Whether an answer to this question can enter the result of a group."""
    if question in banks().cyber:
        return held.plant.groups[key].programmable or question in SAME_QUESTION.values()
    return question in held.questioned(key)


def _reached(held: Assessment, fact: AnswerFact) -> dict[str, None]:
    """Functions that an answer can reach."""
    keys = [key for key in held.links.groups_of(fact.of) if _asked(held, key, fact.question)]
    return {name: None for key in keys for name in held.links.uses[key]}


def _given(held: Assessment, fact: AnswerFact) -> Assessment:
    return held.without_answer(fact.question, fact.of) if fact.new is None else held.with_answers([fact.new])


def _alone(old: Assessment, fact: AnswerFact, functions: Collection[str]) -> dict[str, float]:
    """Gain of each function that this answer alone can reach in the old state."""
    if not _stands(old.plant, fact.of):
        return {}
    later, names = _given(old, fact), [name for name in _reached(old, fact) if name in functions]
    return {name: old.function(name).cases.adjusted / later.function(name).cases.adjusted for name in names}
