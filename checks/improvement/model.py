"""From a plant with its answers to the numbers of the programme: actions, groups with their states, functions with terms."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from checks.allowed_changes import fitting
from checks.allowed_changes.change import GroupChange, changed_plant
from checks.assessment.assessment import Assessment
from checks.assessment.verdicts import Case
from checks.improvement import conditions, timeline_model
from checks.improvement.conditions import May
from checks.improvement.group_model import GroupModel, Option, Step
from checks.plantfile.plant import Alternatives, Answer, Asked, VotedOtherwise, ids_in
from scoring import alternatives
from scoring.improvement.problem import Floats, Problem, State, Sum, Term, Value
from scoring.method import Measure

DEFAULT = 1.0
"""Effort of an action for which none is entered."""
Efforts = Mapping[Step, float]
"""Efforts of answers, and of the changes that are allowed, each of which fits the plant as it is."""


@dataclass(frozen=True)
class Model:
    """Functions whose targets are wanted, in one case, and the actions that can change them: answers, then changes, by id."""

    assessment: Assessment
    functions: tuple[str, ...]
    case: Case
    actions: tuple[Step, ...]
    problem: Problem

    @property
    def changes(self) -> tuple[GroupChange, ...]:
        """The actions that are changes."""
        return tuple(each for each in self.actions if isinstance(each, GroupChange))

    def improved(self, actions: frozenset[int]) -> Assessment:
        """The assessment with these answers met and these changes made."""
        taken = [self.actions[at] for at in sorted(actions)]
        after = self.assessment.with_answers(met(each) for each in taken if not isinstance(each, GroupChange))
        changes = [each for each in taken if isinstance(each, GroupChange)]
        return after.with_plant(changed_plant(after.plant, changes)) if changes else after

    def failing(self, actions: frozenset[int]) -> frozenset[int]:
        """The functions, by index, that miss their target by the real calculation; all for changes that exclude each other."""
        if not self.problem.possible(actions):
            return frozenset(range(len(self.functions)))
        after = self.improved(actions)
        return frozenset(at for at, name in enumerate(self.functions) if not after.function(name).meets(self.case))


def met(asked: Asked) -> Answer:
    """The answer to which an action leads."""
    return Answer(question=asked[0], of=asked[1], value="met")


def everything(_of: str) -> bool:
    """Consider the answers of every addressee."""
    return True


def model(
    assessment: Assessment,
    functions: Sequence[str],
    case: Case,
    *,
    efforts: Efforts,
    may: May = everything,
) -> Model:
    """The model of some functions in one case; ``may`` says of which addressees answers and changes are considered. A change counts where it has an effort, an answer without one as DEFAULT.

    Raises Refused for a beta method without score bands.
    """
    keys = list(dict.fromkeys(key for name in functions for key in assessment.plant.functions[name].group_ids))
    changes = sorted(each for each in efforts if isinstance(each, GroupChange) and each.group in keys and may(each.of))
    options = {key: _options(assessment, [change for change in changes if change.group == key]) for key in keys}
    asking = _asking(assessment, options)
    unmet = conditions.of_groups(asking, keys, may)
    groups = [GroupModel(asking, each, case, options[each[0]]) for each in unmet.items()]
    actions: tuple[Step, ...] = (*sorted(frozenset().union(*(group.asked for group in groups))), *changes)
    index = {action: at for at, action in enumerate(actions)}
    places = {group.key: (at, group) for at, group in enumerate(groups)}
    problem = Problem(
        tuple(efforts.get(each, DEFAULT) for each in actions),
        tuple(group.inputs(index) for group in groups),
        tuple(_sum(assessment, name, places, case) for name in functions),
    )
    return Model(assessment, tuple(functions), case, actions, problem)


def _options(assessment: Assessment, changes: Sequence[GroupChange]) -> list[Option]:
    """The choices of the changes of one group, each with its assessment; none first."""
    found = fitting.options(assessment.plant, changes)
    return [(chosen, _changed(assessment, chosen) if chosen else assessment) for chosen in found]


def _changed(assessment: Assessment, changes: Iterable[GroupChange]) -> Assessment:
    """The assessment with changes, which touch no link between groups, zones, functions and systems."""
    plant = changed_plant(assessment.plant, changes)
    return Assessment(plant, assessment.answers, links=assessment.links, editions=assessment.editions)


def _asking(assessment: Assessment, options: Mapping[str, Sequence[Option]]) -> Assessment:
    """The assessment in which each group has questions that it has in any option: a voting may give it redundancy."""
    chosen: list[GroupChange] = []
    for key, listed in options.items():
        if not assessment.plant.groups[key].voted.redundant:
            redundant = [sorted(changes) for changes, each in listed if each.plant.groups[key].voted.redundant]
            fewest: list[GroupChange] = min(redundant, key=len, default=[])
            chosen += fewest
    return _changed(assessment, chosen) if chosen else assessment


Places = Mapping[str, tuple[int, GroupModel]]
"""Each group with its index."""


def _sum(assessment: Assessment, name: str, places: Places, case: Case) -> Sum:
    function = assessment.plant.functions[name]
    measure: Measure = "pfd" if function.demand == "low" else "pfh"
    limit = 1.0 / function.target if function.demand == "low" else function.target
    if any(map(assessment.on_timeline, function.group_ids)):
        return timeline_model.function(assessment, name, {key: places[key] for key in function.group_ids}, case, limit)
    return Sum(tuple(_term(measure, entry, places) for entry in function.groups), limit)


def _term(measure: Measure, entry: str | VotedOtherwise | Alternatives, places: Places) -> Term:
    at = tuple(places[key][0] for key in ids_in(entry))
    if isinstance(entry, Alternatives):
        return Term(at, _any_of(measure, [places[key][1] for key in entry.any], entry.stated_beta.beta))
    voting = entry.voting if isinstance(entry, VotedOtherwise) else None
    (key,) = ids_in(entry)
    return Term(at, places[key][1].value(measure, voting))


def _any_of(measure: Measure, groups: Sequence[GroupModel], beta: float) -> Value:
    """Alternatives of which any is enough, from the states of their groups."""
    pfds = [group.value("pfd") for group in groups]
    pfhs = [] if measure == "pfd" else [group.value("pfh") for group in groups]

    def value(states: Sequence[State]) -> Floats:
        fits = np.all([state[3] >= 0 for state in states], axis=0)
        chosen = [(s, s_d, exposed, np.maximum(option, 0)) for s, s_d, exposed, option in states]
        low, high = (
            [of([state]) for of, state in zip(each, chosen, strict=True)] if each else [] for each in (pfds, pfhs)
        )
        return np.where(fits, _floats(alternatives.result(measure, low, high, beta=beta).total, states), np.inf)

    return value


def _floats(total: object, states: Sequence[State]) -> Floats:
    return np.broadcast_to(np.asarray(total, dtype=float), states[0][0].shape)
