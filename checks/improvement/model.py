"""From a plant with its answers to the numbers of the programme: actions, groups with their states, functions with terms."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from checks.assessment.assessment import Assessment
from checks.assessment.verdicts import Case
from checks.improvement import conditions, timeline_model
from checks.improvement.conditions import May
from checks.improvement.group_model import GroupModel
from checks.plantfile.plant import Alternatives, Answer, Asked, VotedOtherwise, ids_in
from scoring import alternatives
from scoring.improvement.problem import Floats, Problem, State, Sum, Term, Value
from scoring.method import Measure

DEFAULT = 1.0
"""Effort of an action for which none is entered."""
Efforts = Mapping[Asked, float]


@dataclass(frozen=True)
class Model:
    """Functions whose targets are wanted, in one case, and the actions that can change them, in the order of their ids."""

    assessment: Assessment
    functions: tuple[str, ...]
    case: Case
    actions: tuple[Asked, ...]
    problem: Problem

    def improved(self, actions: frozenset[int]) -> Assessment:
        """The assessment with these answers met."""
        return self.assessment.with_answers(met(self.actions[at]) for at in sorted(actions))

    def failing(self, actions: frozenset[int]) -> frozenset[int]:
        """The functions, by index, that miss their target by the real calculation."""
        after = self.improved(actions)
        return frozenset(at for at, name in enumerate(self.functions) if not after.function(name).meets(self.case))


def met(asked: Asked) -> Answer:
    """The answer to which an action leads."""
    return Answer(question=asked[0], of=asked[1], value="met")


def everything(_of: str) -> bool:
    """Consider the answers of every addressee."""
    return True


def model(
    assessment: Assessment, functions: Sequence[str], case: Case, *, efforts: Efforts, may: May = everything
) -> Model:
    """The model of some functions in one case; ``may`` says of which addressees answers are considered.

    Raises Refused for a beta method without score bands.
    """
    keys = list(dict.fromkeys(key for name in functions for key in assessment.plant.functions[name].group_ids))
    groups = [GroupModel(assessment, each, case) for each in conditions.of_groups(assessment, keys, may).items()]
    actions = tuple(sorted(frozenset().union(*(group.asked for group in groups))))
    index = {asked: at for at, asked in enumerate(actions)}
    places = {group.key: (at, group) for at, group in enumerate(groups)}
    problem = Problem(
        tuple(efforts.get(asked, DEFAULT) for asked in actions),
        tuple(group.inputs(index) for group in groups),
        tuple(_sum(assessment, name, places, case) for name in functions),
    )
    return Model(assessment, tuple(functions), case, actions, problem)


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
        low, high = (
            [of([state]) for of, state in zip(each, states, strict=True)] if each else [] for each in (pfds, pfhs)
        )
        return _floats(alternatives.result(measure, low, high, beta=beta).total, states)

    return value


def _floats(total: object, states: Sequence[State]) -> Floats:
    return np.broadcast_to(np.asarray(total, dtype=float), states[0][0].shape)
