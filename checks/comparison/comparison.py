"""Two states of a plant side by side: what was changed, what came of it, and which change did it."""

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
"""What is added to the name of a measure that is taken in that case."""

Result = TypeVar("Result", GroupResult, FunctionResult, ZoneResult)


@dataclass(frozen=True, slots=True)
class Both(Generic[Result]):
    """Result of one group, function or zone in both states; None in a state that does not have it."""

    id: str
    old: Result | None
    new: Result | None


@dataclass(frozen=True, slots=True)
class ZoneChange(Both[ZoneResult]):
    """A zone in both states: gaps by question, and levels.

    A zone without review has no gap list, so with its first review every gap it has counts as opened.
    """

    @property
    def opened(self) -> tuple[Gap, ...]:
        """Gaps of the new state that the old one did not have."""
        return _less(self.new, self.old)

    @property
    def closed(self) -> tuple[Gap, ...]:
        """Gaps of the old state that the new one does not have; also one that is no longer required at the target."""
        return _less(self.old, self.new)

    @property
    def staying(self) -> tuple[Gap, ...]:
        """Gaps of both, as they stand in the new state."""
        opened = set(self.opened)
        return tuple(gap for gap in self.new.gaps if gap not in opened) if self.new else ()

    @property
    def levels(self) -> dict[str, tuple[int | None, int | None]]:
        """Level indicated in the old and the new state for each foundational requirement."""
        pair = [one.levels if one else {} for one in (self.old, self.new)]
        return {
            fr: (pair[0][fr].indicated if fr in pair[0] else None, pair[1][fr].indicated if fr in pair[1] else None)
            for fr in dict.fromkeys((*pair[0], *pair[1]))
        }


def _less(one: ZoneResult | None, other: ZoneResult | None) -> tuple[Gap, ...]:
    known = {gap.question for gap in other.gaps} if other else set()
    return tuple(gap for gap in one.gaps if gap.question not in known) if one else ()


@dataclass(frozen=True, slots=True)
class FunctionChange(Both[FunctionResult]):
    """A function in both states, and the facts that moved its adjusted result, in the order of ``comparison.steps``.

    ``steps`` lead from the old to the new result. ``only_alone`` are facts that move nothing at their place in the
    order, but would have moved the old state on their own: what they could do was done already, or not yet possible.
    Both are empty where one state has no such function, or where low became high demand: a PFDavg and a PFH are
    different measures.
    """

    steps: tuple[Step, ...]
    only_alone: tuple[Step, ...]

    @property
    def gain(self) -> float | None:
        """Factor by which the adjusted result improves, the product of the gains of the steps; None without steps."""
        if self.old is None or self.new is None or self.old.demand != self.new.demand:
            return None
        return self.old.cases.adjusted / self.new.cases.adjusted


@dataclass(frozen=True, slots=True)
class Comparison:
    """Everything that two states differ in. Of what stayed as it was, results stand side by side all the same.

    ``explained`` is False where this program does not compute the stored figures of a revision from its facts: then it cannot
    tell which fact moved which figure, and no function has steps.

    ``data`` are places of the plant file, conventions included; ``editions`` of methods and question
    banks.
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
        """Whether no fact differs; then no result does."""
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
        Ids of the functions to look at, such as those of one safety system; only what belongs to them is compared.
        All of both states where None. Raises NoSuchFunction for an id that neither state has.
    """
    ids = differences.ids_of_both(old, new, functions)
    pairs = _pairs(ids["functions"], old.plant.functions, old.function, new.plant.functions, new.function)
    answers = differences.of_answers(old.answers, new.answers, ids)
    explained = old.reproduced and new.reproduced
    comparable = [one.id for one in pairs if _comparable(one)] if explained else []
    data, steps = _explained(old, new, answers, comparable)
    # Who shares a group with a selected function may move it, so what the steps name belongs to the selection.
    named = {fact.at for held in steps.values() for one in held for fact in one.facts if isinstance(fact, DataFact)}
    told = [fact for fact in data if differences.belongs(fact, ids) or fact.at in named]
    zones = _pairs(ids["zones"], old.plant.zones, old.zone, new.plant.zones, new.zone)
    return Comparison(
        data=tuple(fact for fact in told if not fact.of_edition),
        answers=answers,
        editions=tuple(fact for fact in told if fact.of_edition),
        groups=_pairs(ids["groups"], old.plant.groups, old.group, new.plant.groups, new.group),
        functions=tuple(_change(one, steps.get(one.id, [])) for one in pairs),
        zones=tuple(ZoneChange(one.id, one.old, one.new) for one in zones),
        explained=explained,
    )


def _explained(
    old: Assessment, new: Assessment, answers: Sequence[AnswerFact], functions: Iterable[str]
) -> tuple[tuple[DataFact, ...], dict[str, list[Step]]]:
    """Every place of the plant file that differs, and the steps of each function."""
    before, after = differences.raw(old), differences.raw(new)
    data = differences.of_data(before, after)
    of_plant = PlantSteps(old, new, (before, after), data)
    steps = {name: list(of_plant.of(name)) for name in functions}
    held = Assessment(new.plant, old.answers, links=new.links, editions=new.editions) if data else old
    for name, made in answer_steps(old, held, answers, steps):
        steps[name].append(made)
    return data, steps


def _change(both: Both[FunctionResult], steps: Collection[Step]) -> FunctionChange:
    moving, others = tuple(one for one in steps if one.moves), tuple(one for one in steps if not one.moves)
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
    """One figure at one label: ``measure`` is RRF, PFH [1/h], beta, each also with the cyber scenario, or gaps.

    ``value`` is None where there is none: no redundancy, or no review of the zone yet.
    """

    label: str
    kind: str
    id: str
    measure: str
    value: float | None


def trend(assessments: Mapping[str, Assessment], *, functions: Collection[str] | None = None) -> tuple[Point, ...]:
    """RRF (PFH in high demand) of functions, betas of groups and number of gaps of zones at each label.

    What a state does not have has no row there. ``functions`` selects as in ``compare``.
    """
    return tuple(point for label, one in assessments.items() for point in _points(label, one, functions))


def _points(label: str, held: Assessment, functions: Collection[str] | None) -> Iterator[Point]:
    ids = differences.ids_of(held, functions)
    for key in ids["functions"]:
        function = held.function(key)
        low = function.demand == "low"
        for case, words in (("scored", ""), ("adjusted", CYBER)):
            result = getattr(function.cases, case)
            yield Point(label, "function", key, f"{'RRF' if low else 'PFH'}{words}", 1.0 / result if low else result)
    for key in ids["groups"]:
        betas = held.group(key).betas
        yield Point(label, "group", key, "beta", betas.beta if betas else None)
        yield Point(label, "group", key, f"beta{CYBER}", betas.beta_adjusted if betas else None)
    for key in ids["zones"]:
        zone = held.zone(key)
        yield Point(label, "zone", key, "gaps", float(len(zone.gaps)) if zone.reviewed else None)
