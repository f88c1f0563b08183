"""The plan for some functions: what they are worth now, with everything improved, and with the cheapest set that is enough."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import fsum
from time import monotonic
from typing import Any

from checks.allowed_changes import change
from checks.allowed_changes.change import GroupChange
from checks.assessment.assessment import Assessment
from checks.assessment.verdicts import Case
from checks.improvement.conditions import May
from checks.improvement.group_model import Step
from checks.improvement.model import Efforts, Model, everything, model
from scoring.improvement.cheapest import cheapest

SECONDS = 6.0
"""Time for a plan, after which the best set found stands without proof."""

Results = Mapping[str, float]
"""PFDavg or PFH [1/h] by function."""


@dataclass(frozen=True)
class Plan:
    """The cheapest set of actions after which every function of a model meets its target, in the case of the model.

    ``chosen`` are actions by index, None where no set is enough (or none was found). ``proven``: no cheaper set is enough;
    else the effort is at most ``excess`` above the least. Without a set, ``after`` repeats ``before``.
    """

    model: Model
    chosen: frozenset[int] | None
    proven: bool
    bound: float
    before: Results
    after: Results
    together: Results

    @property
    def feasible(self) -> bool:
        """Whether a set of actions is enough."""
        return self.chosen is not None

    @property
    def actions(self) -> tuple[Step, ...]:
        """The actions of the set: answers, then changes, by id."""
        return tuple(self.model.actions[at] for at in sorted(self.chosen or ()))

    @property
    def effort(self) -> float | None:
        """Effort of the set; None without one."""
        return None if self.chosen is None else self.effort_of(self.chosen)

    @property
    def excess(self) -> float:
        """By how much the effort may lie above the least; 0 where the set is proven."""
        return 0.0 if self.proven or self.effort is None else max(0.0, self.effort - self.bound)

    @property
    def beyond(self) -> tuple[str, ...]:
        """Functions that fall short even with every answer met and the best of the allowed changes."""
        return tuple(name for name in self.model.functions if not self.meets(name, self.together))

    def effort_of(self, actions: frozenset[int]) -> float:
        """Effort of some actions."""
        return fsum(self.model.problem.efforts[at] for at in actions)

    def meets(self, function: str, results: Results) -> bool:
        """Whether a function meets its target with one of the results of the plan."""
        place = self.model.functions.index(function)
        return results[function] <= self.model.problem.functions[place].limit

    def shown(self, results: Results) -> dict[str, float]:
        """RRF of the functions in low demand, PFH [1/h] of the others."""
        functions = self.model.assessment.plant.functions
        return {name: 1.0 / value if functions[name].demand == "low" else value for name, value in results.items()}

    def _data(self, action: Step) -> dict[str, str]:
        """An action as the command line prints it: a question of an addressee, or a change of a group."""
        if not isinstance(action, GroupChange):
            return dict(zip(("question", "of"), action, strict=True))
        before = change.present(self.model.assessment.plant.groups[action.group], action) or ""
        test = {"test": action.test} if action.test else {}
        return {"group": action.group, "change": action.what, **test, "from": before, "to": action.to}

    def data(self) -> dict[str, Any]:
        """The plan as the command line prints it."""
        return {
            "case": self.model.case,
            "feasible": self.feasible,
            "proven": self.proven,
            "effort": self.effort,
            "actions": [self._data(each) for each in self.actions],
            "before": self.shown(self.before),
            "after": self.shown(self.after),
            "all": self.shown(self.together),
        }


def plan(
    assessment: Assessment,
    functions: Sequence[str],
    case: Case,
    *,
    efforts: Efforts,
    may: May = everything,
    seconds: float = SECONDS,
) -> Plan:
    """The plan for some functions in one case. Raises Refused for a beta method without score bands."""
    until = monotonic() + seconds
    built = model(assessment, functions, case, efforts=efforts, may=may)
    return of_model(built, seconds=until - monotonic())


def of_model(built: Model, *, seconds: float = SECONDS) -> Plan:
    """The plan of a model; ``seconds`` limit the search for its set."""
    until = monotonic() + seconds
    found = cheapest(built.problem, built.failing, left=lambda: until - monotonic())
    before = _results(built, frozenset())
    return Plan(
        built,
        found.actions,
        found.proven,
        found.bound,
        before=before,
        after=before if found.actions is None else _results(built, found.actions),
        together=_together(built),
    )


def _together(built: Model) -> Results:
    """Each function with every answer met and the changes that are best for it."""
    fullest = {name: built.problem.fullest([at]) for at, name in enumerate(built.functions)}
    after = {actions: built.improved(actions) for actions in set(fullest.values())}
    return {name: getattr(after[actions].function(name).cases, built.case) for name, actions in fullest.items()}


def for_the_others(
    whole: Plan,
    *,
    efforts: Efforts,
    may: May = everything,
    seconds: float = SECONDS,
) -> Plan | None:
    """The plan for the functions that actions can bring to their targets, where some others fall short; None without any."""
    names = [name for name in whole.model.functions if name not in whole.beyond]
    if whole.feasible or not names or not whole.beyond:
        return None
    return plan(whole.model.assessment, names, whole.model.case, efforts=efforts, may=may, seconds=seconds)


def _results(built: Model, actions: frozenset[int]) -> Results:
    after = built.improved(actions)
    return {name: getattr(after.function(name).cases, built.case) for name in built.functions}
