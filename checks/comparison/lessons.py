"""What the revisions of a safety system teach: what the first one hid, what equipment bought, what tests and answers bought."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from checks.assessment import verdicts
from checks.assessment.assessment import Assessment
from checks.assessment.results import FunctionResult
from checks.comparison import differences
from checks.comparison.differences import AnswerFact, DataFact, Fact
from checks.comparison.plant_steps import PlantSteps
from checks.comparison.steps import Step, answer_steps
from checks.plantfile.plant import Plant

TESTING = ("proof_test", "tests")
"""Fields of a group that say how it is tested."""


@dataclass(frozen=True, slots=True)
class Claim:
    """A function in the first revision of a system and in the next one, by number.

    ``source`` is that of most specified betas which the next revision no longer takes over; empty where there is none.
    """

    system: str
    numbers: tuple[int, int]
    first: FunctionResult
    later: FunctionResult
    source: str

    @property
    def hid(self) -> bool:
        """Whether the first revision meets the target with common cause and the next one falls visibly short of it."""
        return not verdicts.falls_short(self.first, "scored") and verdicts.falls_short(self.later, "scored")

    @property
    def worse(self) -> float:
        """Factor by which the result with common cause is worse in the next revision."""
        return self.later.cases.scored / self.first.cases.scored


@dataclass(frozen=True, slots=True)
class Effect:
    """What one step between two revisions of a system, by number, did to a function."""

    system: str
    numbers: tuple[int, int]
    before: FunctionResult
    after: FunctionResult
    step: Step
    purchase: bool
    """Whether it adds channels; else it changes tests or answers only."""

    def stands(self, present: Assessment) -> bool:
        """Whether what it changed is still so."""
        return all(_present(present, fact) == _new(fact) for fact in self.step.facts)


@dataclass(frozen=True, slots=True)
class Lessons:
    """The claims and effects of the revisions of some systems."""

    claims: tuple[Claim, ...]
    effects: tuple[Effect, ...]

    def of(self, system: str) -> Lessons:
        """Those of one system."""
        return Lessons(
            tuple(claim for claim in self.claims if claim.system == system),
            tuple(effect for effect in self.effects if effect.system == system),
        )

    @property
    def hidden(self) -> tuple[Claim, ...]:
        """What first revisions hid, the worst first."""
        return tuple(sorted((claim for claim in self.claims if claim.hid), key=lambda claim: -claim.worse))

    @property
    def worst_purchase(self) -> Effect | None:
        """The purchase that bought least, where it bought hardly anything; the limit is that of ``verdicts.WORTH``."""
        little = [effect for effect in self.effects if effect.purchase and effect.step.gain < verdicts.WORTH]
        return min(little, key=lambda effect: effect.step.gain, default=None)

    def best_change(self, present: Assessment) -> Effect | None:
        """The change without equipment that bought most of those which still stand."""
        better = [effect for effect in self.effects if not effect.purchase and effect.step.gain > 1.0]
        standing = (effect for effect in better if effect.stands(present))
        return max(standing, key=lambda effect: effect.step.gain, default=None)


def claims(system: str, numbers: tuple[int, int], first: Assessment, later: Assessment) -> tuple[Claim, ...]:
    """The functions of a system in its first two revisions."""
    betas = {key: group.stated_beta for key, group in first.plant.groups.items() if group.stated_beta is not None}
    kept = {key: group.stated_beta for key, group in later.plant.groups.items()}
    sources = Counter(beta.source for key, beta in betas.items() if kept.get(key) != beta)
    source = max(sources, key=sources.__getitem__, default="")
    pairs = ((first.function(name), later.function(name)) for name in _of_both(system, first, later))
    return tuple(Claim(system, numbers, *pair, source) for pair in pairs if pair[0].demand == pair[1].demand)


def effects(system: str, numbers: tuple[int, int], old: Assessment, new: Assessment) -> tuple[Effect, ...]:
    """The effect of each purchase, and of each change of tests or answers alone, on the functions of a system.

    An answer to a question that nobody had answered changes what is known, not the plant, and is left out; so are answers of a
    zone, which move the cyber scenario alone, a house rule. Empty where this program computes other figures than a revision
    stores.
    """
    if not (old.reproduced and new.reproduced):
        return ()
    names = [name for name in _of_both(system, old, new) if old.function(name).demand == new.function(name).demand]
    return tuple(
        Effect(system, numbers, old.function(name), new.function(name), step, bought)
        for name, step in _steps(old, new, names)
        if (bought := _adds_channels(step, name, old.plant, new.plant)) or all(map(_without_equipment, step.facts))
    )


def _of_both(system: str, *assessments: Assessment) -> list[str]:
    first, *others = (assessment.plant.systems[system].functions for assessment in assessments)
    return [name for name in first if all(name in names for names in others)]


def _steps(old: Assessment, new: Assessment, names: Sequence[str]) -> Iterator[tuple[str, Step]]:
    """Steps of plant data, then of answers that were given before and have another value, each with its function."""
    before, after = differences.raw(old), differences.raw(new)
    data = differences.of_data(before, after)
    of_plant = PlantSteps(old, new, (before, after), data)
    for name in names:
        yield from ((name, step) for step in of_plant.of(name))
    ids = differences.ids_of_both(old, new, names)
    moved = [
        fact
        for fact in differences.of_answers(old.answers, new.answers, ids)
        if fact.moves and fact.old and fact.new and not fact.of.startswith("zone:")
    ]
    changed = Assessment(new.plant, old.answers, links=new.links, editions=new.editions) if data else old
    yield from answer_steps(old, changed, moved, names)


def _adds_channels(step: Step, function: str, old: Plant, new: Plant) -> bool:
    """Whether a step describes other groups or channels, of which the function then has more."""
    describes = any(
        isinstance(fact, DataFact) and (fact.at[:1] == ("groups",) and (fact.whole or fact.at[2:3] == ("channels",)))
        for fact in step.facts
    )
    return describes and _channels(new, function) > _channels(old, function)


def _channels(plant: Plant, function: str) -> int:
    return sum(len(plant.groups[key].channels) for key in dict.fromkeys(plant.functions[function].group_ids))


def _without_equipment(fact: Fact) -> bool:
    return isinstance(fact, AnswerFact) or (fact.at[0] == "groups" and len(fact.at) > 2 and fact.at[2] in TESTING)


def _new(fact: Fact) -> Any:
    return fact.new.value if isinstance(fact, AnswerFact) and fact.new else fact.new


def _present(present: Assessment, fact: Fact) -> Any:
    """The present value of what a fact changed; None where it is not there."""
    if isinstance(fact, AnswerFact):
        answer = present.answers.of(fact.of).get(fact.question)
        return None if answer is None else answer.value
    block, key, *rest = fact.at
    entity = getattr(present.plant, str(block)).get(key)
    value: Any = None if entity is None else entity.model_dump()
    for name in rest:
        value = value.get(name) if isinstance(value, Mapping) else None
    return value
