"""Comparison of two states of a plant: the changes, the results in both states, and the effect of each change."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from checks.assessment.assessment import Assessment
from checks.assessment.results import FunctionResult, Gap, GroupResult, ZoneResult
from checks.comparison import differences
from checks.comparison.differences import AnswerFact, DataFact
from checks.comparison.plant_steps import PlantSteps
from checks.comparison.steps import Step, answer_steps

CYBER = " with cyber scenario"
"""Suffix of the name of a measure in that case."""

Result = TypeVar("Result", GroupResult, FunctionResult, ZoneResult)


@dataclass(frozen=True, slots=True)
class Both(Generic[Result]):
    """Result of one group, function or zone in both states; None for a state that does not have it."""

    id: str
    old: Result | None
    new: Result | None


@dataclass(frozen=True, slots=True)
class ZoneChange(Both[ZoneResult]):
    """A zone in both states: gaps by question, and levels.

    A zone without review has no gap list, so all gaps of its first review count as opened.
    """

    @property
    def opened(self) -> tuple[Gap, ...]:
        """Gaps of the new state that the old one did not have."""
        return _less(self.new, self.old)

    @property
    def closed(self) -> tuple[Gap, ...]:
        """Gaps of the old state that the new one does not have, including those no longer required at the target."""
        return _less(self.old, self.new)

    @property
    def staying(self) -> tuple[Gap, ...]:
        """Gaps of both states, with their values in the new one."""
        opened = set(self.opened)
        return tuple(gap for gap in self.new.gaps if gap not in opened) if self.new else ()

    @property
    def levels(self) -> dict[str, tuple[int | None, int | None]]:
        """Indicated level in the old and the new state, for each foundational requirement."""
        pair = [zone.levels if zone else {} for zone in (self.old, self.new)]
        return {
            fr: (pair[0][fr].indicated if fr in pair[0] else None, pair[1][fr].indicated if fr in pair[1] else None)
            for fr in dict.fromkeys((*pair[0], *pair[1]))
        }


def _less(zone: ZoneResult | None, other: ZoneResult | None) -> tuple[Gap, ...]:
    known = {gap.question for gap in other.gaps} if other else set()
    return tuple(gap for gap in zone.gaps if gap.question not in known) if zone else ()


@dataclass(frozen=True, slots=True)
class FunctionChange(Both[FunctionResult]):
    """A function in both states, and the facts that changed its result with cyber scenario, in the order of ``steps.py``.

    ``steps`` lead from the old to the new result. ``only_alone`` are facts that change nothing at their place in the
    order, but would change the old state on their own. Both are empty where one state has no such function, or where
    the demand mode changed: a PFDavg and a PFH are different measures.
    """

    steps: tuple[Step, ...]
    only_alone: tuple[Step, ...]

    @property
    def gain(self) -> float | None:
        """Factor by which the result with cyber scenario improves, the product of the gains of all steps; None if not comparable."""
        if self.old is None or self.new is None or self.old.demand != self.new.demand:
            return None
        return self.old.cases.adjusted / self.new.cases.adjusted


@dataclass(frozen=True, slots=True)
class Comparison:
    """The differences between two states, and the results of both, unchanged ones included.

    ``data`` are differences in the plant file, conventions included; ``editions`` those of methods and question banks.
    ``explained`` is False where this program does not compute the stored figures of a revision from its facts: then the
    effect of each fact is not known, and no function has steps.
    """

    data: tuple[DataFact, ...]
    answers: tuple[AnswerFact, ...]
    editions: tuple[DataFact, ...]
    groups: tuple[Both[GroupResult], ...]
    functions: tuple[FunctionChange, ...]
    zones: tuple[ZoneChange, ...]
    explained: bool = True

    @property
    def nothing(self) -> bool:
        """Whether no fact differs; then no result differs."""
        return not (self.data or self.answers or self.editions)


def compare(
    old: Assessment,
    new: Assessment,
    *,
    functions: Collection[str] | None = None,
) -> Comparison:
    """Compare two states of a plant.

    Parameters
    ----------
    functions
        Ids of the functions to compare, such as those of one safety system, with all that belongs to them. None: all
        functions of both states. Raises NoSuchFunction for an id that neither state has.
    """
    ids = differences.ids_of_both(old, new, functions)
    pairs = _pairs(ids["functions"], old.plant.functions, old.function, new.plant.functions, new.function)
    answers = differences.of_answers(old.answers, new.answers, ids)
    explained = old.reproduced and new.reproduced
    comparable = [pair.id for pair in pairs if _comparable(pair)] if explained else []
    data, steps = _explained(old, new, answers, comparable)
    # A function that shares a group with a selected one may change it: the facts of the steps belong to the selection.
    named = {
        fact.at
        for function_steps in steps.values()
        for step in function_steps
        for fact in step.facts
        if isinstance(fact, DataFact)
    }
    selected = [fact for fact in data if differences.belongs(fact, ids) or fact.at in named]
    zones = _pairs(ids["zones"], old.plant.zones, old.zone, new.plant.zones, new.zone)
    return Comparison(
        data=tuple(fact for fact in selected if not fact.of_edition),
        answers=answers,
        editions=tuple(fact for fact in selected if fact.of_edition),
        groups=_pairs(ids["groups"], old.plant.groups, old.group, new.plant.groups, new.group),
        functions=tuple(_change(pair, steps.get(pair.id, [])) for pair in pairs),
        zones=tuple(ZoneChange(pair.id, pair.old, pair.new) for pair in zones),
        explained=explained,
    )


def _explained(
    old: Assessment, new: Assessment, answers: Sequence[AnswerFact], functions: Iterable[str]
) -> tuple[tuple[DataFact, ...], dict[str, list[Step]]]:
    """All differences in the plant file, and the steps of each function."""
    before, after = differences.raw(old), differences.raw(new)
    data = differences.of_data(before, after)
    of_plant = PlantSteps(old, new, (before, after), data)
    steps = {name: list(of_plant.of(name)) for name in functions}
    after_data = Assessment(new.plant, old.answers, links=new.links, editions=new.editions) if data else old
    for name, answer_step in answer_steps(old, after_data, answers, steps):
        steps[name].append(answer_step)
    return data, steps


def _change(both: Both[FunctionResult], steps: Collection[Step]) -> FunctionChange:
    moving, others = tuple(step for step in steps if step.moves), tuple(step for step in steps if not step.moves)
    return FunctionChange(both.id, both.old, both.new, moving, others)


def _comparable(both: Both[FunctionResult]) -> bool:
    """Whether the two results of a function are of the same measure."""
    return both.old is not None and both.new is not None and both.old.demand == both.new.demand


def _pairs(
    ids: Iterable[str],
    in_old: Collection[str],
    old: Callable[[str], Result],
    in_new: Collection[str],
    new: Callable[[str], Result],
) -> tuple[Both[Result], ...]:
    return tuple(Both(key, old(key) if key in in_old else None, new(key) if key in in_new else None) for key in ids)


@dataclass(frozen=True, slots=True)
class Point:
    """One figure at one label. ``measure``: RRF, PFH [1/h] or beta, each also with the cyber scenario, or gaps.

    ``value`` is None without redundancy, or before the first review of a zone.
    """

    label: str
    kind: str
    id: str
    measure: str
    value: float | None


def trend(assessments: Mapping[str, Assessment], *, functions: Collection[str] | None = None) -> tuple[Point, ...]:
    """RRF (PFH in high demand) of functions, betas of groups and numbers of gaps of zones, at each label.

    An id that a state does not have has no row for it. ``functions`` selects as in ``compare``.
    """
    return tuple(point for label, assessment in assessments.items() for point in _points(label, assessment, functions))


def _points(label: str, assessment: Assessment, functions: Collection[str] | None) -> Iterator[Point]:
    ids = differences.ids_of(assessment, functions)
    for key in ids["functions"]:
        function = assessment.function(key)
        low = function.demand == "low"
        for case, words in (("scored", ""), ("adjusted", CYBER)):
            result = getattr(function.cases, case)
            yield Point(label, "function", key, f"{'RRF' if low else 'PFH'}{words}", 1.0 / result if low else result)
    for key in ids["groups"]:
        betas = assessment.group(key).betas
        yield Point(label, "group", key, "beta", betas.beta if betas else None)
        yield Point(label, "group", key, f"beta{CYBER}", betas.beta_adjusted if betas else None)
    for key in ids["zones"]:
        zone = assessment.zone(key)
        yield Point(label, "zone", key, "gaps", float(len(zone.gaps)) if zone.reviewed else None)
