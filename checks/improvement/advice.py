"""What to fix first for some functions of a plant, as a reader may see it: the plan, and each action with its gain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import log
from time import monotonic

from checks.allowed_changes.change import GroupChange
from checks.assessment.assessment import Assessment
from checks.assessment.verdicts import Case
from checks.improvement import gains, house_rules, plan, recorded_changes, recorded_efforts
from checks.improvement.gains import Gain
from checks.improvement.group_model import Step
from checks.improvement.plan import Plan
from checks.state.live import State
from checks.visibility import blind_round

SECONDS, FIRST = 6.0, 4.0
"""Time for both plans while somebody waits at a screen, and for the first of them, that for all functions."""


@dataclass(frozen=True, slots=True)
class Ranked:
    """An answer to improve or an allowed change with its effort, what it gains alone and in the best pair or triple, and whether it is in the cheapest set."""

    step: Step
    effort: float
    alone: Gain | None
    together: Gain | None
    chosen: bool

    @property
    def rank(self) -> tuple[bool, float, float, bool, str]:
        """Sort key: the set first, then by decades gained alone for each unit of effort, then in a pair or triple, then by id."""
        own, joint = (0.0 if gain is None else log(gain.factor) for gain in (self.alone, self.together))
        return not self.chosen, -own / self.effort, -joint, isinstance(self.step, GroupChange), str(self.step)


@dataclass(frozen=True)
class Advice:
    """The plan for all functions asked for, that for those which can meet their targets where others cannot, and all actions.

    ``hidden`` counts answers that a blind round hides: they count as not known here.
    """

    whole: Plan
    others: Plan | None
    hidden: int

    @property
    def best(self) -> Plan:
        """The plan whose set of actions is offered."""
        return self.whole if self.others is None else self.others

    @cached_property
    def ranked(self) -> tuple[Ranked, ...]:
        """All actions of the functions, what to do first at the top."""
        model, chosen = self.whole.model, set(self.best.actions)
        listed = zip(model.actions, model.problem.efforts, gains.alone(model), gains.together(model), strict=True)
        rows = (Ranked(action, effort, alone, joint, action in chosen) for action, effort, alone, joint in listed)
        return tuple(sorted(rows, key=lambda row: row.rank))

    @cached_property
    def by_house_rule(self) -> frozenset[Step]:
        """Actions whose place depends on a house rule; computed when it is first asked for."""
        return frozenset(self.whole.model.actions[at] for at in house_rules.dependent(self.whole.model))

    @cached_property
    def improved(self) -> Assessment:
        """The plant with the offered set; computed when it is first asked for."""
        return self.best.model.improved(self.best.chosen or frozenset())

    @property
    def of_set(self) -> tuple[str, ...]:
        """The functions that the offered set brings to their targets; none without a set."""
        return tuple(self.best.model.functions) if self.best.chosen else ()

    def named(self, gain: Gain) -> tuple[Step, ...]:
        """The actions of a gain."""
        return tuple(self.whole.model.actions[at] for at in sorted(gain.actions))


def of_functions(state: State, functions: Sequence[str], case: Case) -> Advice:
    """What to fix first for some functions; raises Refused for a beta method without score bands.

    Answers of addressees that the reader may not see are no actions, and count as they stand; nor are changes of their groups.
    """
    keys = {key for name in functions for key in state.plant.functions[name].group_ids}
    efforts: dict[Step, float] = dict(recorded_changes.fitting_now(state, keys).items())
    efforts.update(recorded_efforts.entered(state).items())
    may = state.is_visible
    hidden = sum(asked not in state.stored for asked in state.records.to_answer_again)
    until = monotonic() + SECONDS
    whole = plan.plan(blind_round.as_shown(state), functions, case, efforts=efforts, may=may, seconds=FIRST)
    others = plan.for_the_others(whole, efforts=efforts, may=may, seconds=until - monotonic())
    return Advice(whole, others, hidden)
