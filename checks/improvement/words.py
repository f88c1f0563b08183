"""A plan in words, the same on screens, in reports and on the command line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from checks.allowed_changes import change
from checks.allowed_changes.change import GroupChange
from checks.assessment.verdicts import CASES
from checks.improvement.group_model import Step
from checks.improvement.plan import Plan
from checks.text.number_format import measure, measure_name, target
from scoring.beta.by_grades import asked_by

COUNTED = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve")
MOST_NAMED = 6
SAME = 1e-6
"""Efforts that differ by less are the same."""


def headline(plan: Plan) -> str:
    """What to do, in one sentence without the names of the answers and changes."""
    case, functions = CASES[plan.model.case], plan.model.functions
    if plan.chosen is None:
        missed = plan.beyond or functions
        aim = "its target" if len(missed) == 1 else "their targets"
        means = "Answers and allowed changes" if plan.model.changes else "Answers alone"
        return f"{means if plan.proven else 'The sets found in time'} do not bring {in_list(missed)} to {aim} {case}"
    if not plan.chosen:
        return f"{in_list(functions)} {_meets(functions)} {case} already"
    verb = "brings" if len(plan.chosen) == 1 else "bring"
    aim = "its target" if len(functions) == 1 else "their targets"
    return f"{in_the_set(plan)} {verb} {in_list(functions)} to {aim} {case}, effort {plan.effort:g}"


def details(plan: Plan) -> str:
    """The names of the answers and changes, and whether the set is proven, or what all answers together reach; empty if all is met."""
    if plan.chosen is None:
        return _reach(plan)
    if not plan.chosen:
        return ""
    listed_first = ", ".join(named(plan, action) for action in plan.actions[:MOST_NAMED])
    more = len(plan.chosen) - MOST_NAMED
    return f"{listed_first[0].upper()}{listed_first[1:]}{f' and {more} more' if more > 0 else ''}. {proof(plan)}"


def proof(plan: Plan) -> str:
    """Whether the set is proven to be the cheapest."""
    if plan.proven:
        return "Proven: no set with less effort is enough."
    if plan.excess < SAME:
        return "Proven: no set with less effort is enough. Other sets with the same effort were not compared in the time allowed."
    return f"Best set found, not proven: its effort is at most {plan.excess:.2g} above the least."


def _reach(plan: Plan) -> str:
    """What all open answers together reach, with the best changes, for the functions that fall short then."""
    count = len(plan.model.actions)
    reached = "; ".join(_with_everything(plan, name) for name in plan.beyond)
    if not reached:
        return ""
    lead = f"Even {everything(plan)}: {reached}" if count else f"No answer is open that could help: {reached}"
    rest = "other changes" if plan.model.changes else "tests, voting"
    return f"{lead}. Look at {rest} and devices."


def _with_everything(plan: Plan, name: str) -> str:
    function = plan.model.assessment.plant.functions[name]
    demand = function.demand
    aim = target(demand, function.target, function.target_sil)
    return f"{name} {measure_name(demand)} {measure(demand, plan.together[name])}, target {aim}"


def _meets(functions: Sequence[str]) -> str:
    return "meets its target" if len(functions) == 1 else "meet their targets"


def held(plan: Plan) -> str:
    """Groups whose beta no action moves, since a method of their own asks other questions; empty where there are none."""
    assessment = plan.model.assessment
    used = dict.fromkeys(key for name in plan.model.functions for key in assessment.plant.functions[name].group_ids)
    groups = [key for key in used if assessment.asked(key) and asked_by(assessment.beta_method(key)) is not None]
    if not groups:
        return ""
    many = len(groups) > 1
    return (
        f"The beta of {', '.join(groups[:MOST_NAMED])}{f' and {len(groups) - MOST_NAMED} more' if len(groups) > MOST_NAMED else ''} "
        f"is held: {'their methods ask' if many else 'its method asks'} other questions, which are no actions here."
    )


def named(plan: Plan, action: Step) -> str:
    """An action: a question of an addressee, or a change of a group from its present value."""
    if not isinstance(action, GroupChange):
        return f"{action[0]} of {action[1]}"
    return change.in_words(action, change.present(plan.model.assessment.plant.groups[action.group], action))


def in_the_set(plan: Plan) -> str:
    """How many answers and changes a set has, at the beginning of a sentence."""
    changes = sum(isinstance(action, GroupChange) for action in plan.actions)
    answers = len(plan.actions) - changes
    parts = [(answers, "answer" if answers == 1 else "answers"), (changes, "change" if changes == 1 else "changes")]
    known = [f"{counted(count)} {noun}" for count, noun in parts if count]
    return " and ".join([known[0], *(each.lower() for each in known[1:])])


def everything(plan: Plan) -> str:
    """What would be the most: every open answer met, and of the changes those that are best for a function."""
    answers = len(plan.model.actions) - len(plan.model.changes)
    met = f"with all {answers} open answers met" if answers else ""
    best = f"with the best of {len(plan.model.changes)} allowed changes" if plan.model.changes else ""
    return " and ".join(filter(None, [met, best])) or "with all 0 open answers met"


def listed(plan: Plan) -> Iterator[tuple[Step, float]]:
    """The actions of the set with their efforts."""
    for at in sorted(plan.chosen or ()):
        yield plan.model.actions[at], plan.model.problem.efforts[at]


def counted(count: int) -> str:
    """A number at the beginning of a sentence."""
    return COUNTED[count] if count < len(COUNTED) else f"{count:,}"


def in_list(names: Iterable[str]) -> str:
    """Names in a sentence; of many, how many they are.

    >>> in_list(["A"]), in_list(["A", "B", "C"]), in_list("ABCDEFGH")
    ('A', 'A, B and C', 'all 8 functions')
    """
    known = list(names)
    if len(known) > MOST_NAMED:
        return f"all {len(known)} functions"
    return known[0] if len(known) == 1 else f"{', '.join(known[:-1])} and {known[-1]}"
